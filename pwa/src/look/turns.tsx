import { At, Strip } from "./rule";
import { percent } from "./geometry";

export interface TurnMark { at: number; label: string }

const EDGE = 50;
const HEIGHT = 74;

/** Noises in ten pedal turns on a rule, with the parts that would sound at each place. */
export function Turns({ n, marks, half = 1, top = 28, label }: { n: number; marks: TurnMark[]; /** What the count leaves open, each way. */ half?: number; top?: number; label: string }) {
  const x = (v: number) => (Math.min(v, top) / top) * 100;
  const lines = Array.from({ length: top + 1 }, (_, i) => `M${((i / top) * 1000).toFixed(1)} ${EDGE}v${i % 5 ? 4 : 8}`).join("");
  const rows = stagger(marks.filter((m) => m.at <= top), top);
  return (
    <svg class="plot" height={HEIGHT} role="img" aria-label={label}>
      {Array.from({ length: Math.floor(top / 5) + 1 }, (_, i) => (
        <text class="num" x={percent(x(i * 5))} y={EDGE + 22} text-anchor={i ? "middle" : "start"}>{i * 5}</text>
      ))}
      <line class="edge" x1="0" x2="100%" y1={EDGE} y2={EDGE} />
      <Strip d={lines} cls="grad" h={HEIGHT} />
      {rows.map((m) => (
        <At p={x(m.at)} y={EDGE}>
          <path class="wit" d="M-5 -26H5L0 -18Z M0 -18V0" />
          <text class="num" x="0" y={m.up ? -42 : -30} text-anchor={m.at < top / 10 ? "start" : m.at > top * 0.9 ? "end" : "middle"}>{m.label}</text>
        </At>
      ))}
      <At p={x(n)} y={EDGE}><path class="tick" d="M0 -24V0" /></At>
      <line class="wsk" x1={percent(x(Math.max(0, n - half)))} x2={percent(x(n + half))} y1={EDGE - 12} y2={EDGE - 12} />
    </svg>
  );
}

/** Labels that would run into each other go up by a line. */
function stagger(marks: TurnMark[], top: number): (TurnMark & { up: boolean })[] {
  let last = -Infinity;
  let up = false;
  return [...marks].sort((a, b) => a.at - b.at).map((m) => {
    up = m.at - last < top * 0.16 && !up;
    last = m.at;
    return { ...m, up };
  });
}
