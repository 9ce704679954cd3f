import { percent } from "./geometry";
import { At, Strip } from "./rule";

const EDGE = 30;
const HEIGHT = 62;
const GROW = 5;

/** Taps along a rule of seconds: the noise above its edge, the crank below. It grows by whole five seconds. */
export function TapRule({ noise, crank, label }: { noise: number[]; crank: number[]; label: string }) {
  const last = Math.max(0, ...noise, ...crank) / 1000;
  const top = Math.max(GROW, Math.ceil(last / GROW) * GROW);
  const long = top > 60 ? 30 : top > 20 ? 10 : 5;
  const fine = top > 60 ? 5 : 1;
  const at = (ms: number) => ms / 10 / top;
  const lines = Array.from({ length: Math.floor(top / fine) + 1 }, (_, i) => `M${((i * fine * 1000) / top).toFixed(1)} ${EDGE}v${(i * fine) % long ? 4 : 8}`).join("");
  const count = Math.floor(top / long) + 1;
  return (
    <svg class="plot" height={HEIGHT} role="img" aria-label={label}>
      <line class="edge" x1="0" x2="100%" y1={EDGE} y2={EDGE} />
      <Strip d={lines} cls="grad" h={HEIGHT} />
      {Array.from({ length: count }, (_, i) => (
        <text class="num" x={percent((i * long * 100) / top)} y={HEIGHT - 2} text-anchor={i === 0 ? "start" : i * long === top ? "end" : "middle"}>{i * long}{i * long === top ? " s" : ""}</text>
      ))}
      {noise.map((ms) => <At p={at(ms)}><path class="lw" d={`M0 6V${EDGE}`} /></At>)}
      {crank.map((ms) => <At p={at(ms)}><path class="wit" d={`M-5 ${EDGE + 16}H5L0 ${EDGE + 8}Z M0 ${EDGE + 8}V${EDGE}`} /></At>)}
    </svg>
  );
}
