import { clamp } from "./geometry";
import { At, Strip } from "./rule";

const EDGE = 18;
const LINES = Array.from({ length: 11 }, (_, i) => `M${i * 100} ${EDGE}v${i % 5 ? 4 : 7}`).join("");

/** A chance as whole percent; what is neither none nor certain never reads so. */
export function sharePercent(share: number): string {
  const whole = Math.round(share * 100);
  if (whole === 0 && share > 0) return "under 1 %";
  return whole === 100 && share < 1 ? "over 99 %" : `${whole} %`;
}

/** One possibility and its chance on a rule from none to certain, graduated in tens of percent. */
export function ShareRule({ name, share, note }: { name: string; share: number; note?: string | undefined }) {
  return (
    <li class="share">
      <p class="row sp"><b>{name}</b><span class="nowrap">{sharePercent(share)}</span></p>
      <svg class="rule" height={EDGE + 8} role="img" aria-label={`${name}: ${sharePercent(share)}`}>
        <line class="edge" x1="0" x2="100%" y1={EDGE} y2={EDGE} />
        <Strip d={LINES} cls="grad" h={EDGE + 8} />
        <At p={clamp(share * 100)}><path class="tick" d={`M0 2V${EDGE}`} /></At>
      </svg>
      {note && <p class="xs">{note}</p>}
    </li>
  );
}
