import { At } from "./rule";

const REACH = 4;
const PITCH = 11;
const EDGE = 24;

/** Steps turned, counted by strokes from the zero; outboard is left. More than the rule holds stands at its end. */
export function Tally({ n, words, ends }: { n: number; words: string; ends: [string, string] }) {
  const lines = Array.from({ length: 2 * REACH + 1 }, (_, i) => i - REACH);
  const shown = Math.min(Math.abs(n), REACH);
  const side = Math.sign(n);
  return (
    <div>
      <p class="turned" aria-hidden="true">{words}</p>
      <svg class="rule" height="46" role="img" aria-label={words}>
        <rect class="body" width="100%" y={EDGE} height="20" />
        <line class="edge" x1="0" x2="100%" y1={EDGE} y2={EDGE} />
        {lines.map((i) => <At p={50 + i * PITCH}><path class="grad" d={`M0 ${EDGE}v${i ? 5 : 7}`} /></At>)}
        {Array.from({ length: Math.floor(shown) }, (_, i) => (
          <At p={50 + side * (i + 1) * PITCH}><path class={i + 1 === shown ? "tick" : "lw"} d={`M0 ${EDGE - 20}V${EDGE}`} /></At>
        ))}
        <At p={50}><path class="wit" d={`M-6 ${EDGE - 16}H6L0 ${EDGE - 7}Z M0 ${EDGE - 7}V${EDGE}`} /></At>
        <text class="num" x="4" y={EDGE + 17}>{ends[0]}</text>
        <text class="num" x="50%" y={EDGE + 17} text-anchor="middle">0</text>
        <text class="num" x="100%" dx="-4" y={EDGE + 17} text-anchor="end">{ends[1]}</text>
      </svg>
    </div>
  );
}
