import { clamp, percent } from "./geometry";
import { num } from "./number";
import { At, Strip } from "./rule";

const EDGE = 26;

interface OffsetProps { value: number | null; low: number | null; high: number | null; span: number; minor: number; ends: [string, string]; label: string }

/** What was corrected on the road, from the stand's zero, with its interval. Zero stands in the middle. */
export function OffsetRule({ value, low, high, span, minor, ends, label }: OffsetProps) {
  const at = (v: number) => 50 + (v / span) * 50;
  const n = Math.round((2 * span) / minor);
  const lines = Array.from({ length: n + 1 }, (_, i) => `M${((i * 1000) / n).toFixed(1)} ${EDGE}v${i % 2 ? 4 : 7}`).join("");
  return (
    <svg class="rule" height="46" role="img" aria-label={label}>
      <rect class="body" width="100%" y={EDGE} height="20" />
      <line class="edge" x1="0" x2="100%" y1={EDGE} y2={EDGE} />
      <Strip d={lines} cls="grad" h={EDGE + 8} />
      <At p={50}><path class="wit" d={`M-6 1H6L0 10Z M0 10V${EDGE}`} /></At>
      <text class="num" x="50%" y="43" text-anchor="middle">stand</text>
      <text class="num" x="0" dx="4" y="43">{ends[0]} {num(span)}</text>
      <text class="num" x="100%" dx="-4" y="43" text-anchor="end">{num(span)} {ends[1]}</text>
      {low !== null && high !== null && (
        <>
          <line class="wsk" x1={percent(clamp(at(low)))} x2={percent(clamp(at(high)))} y1="17" y2="17" />
          {[low, high].map((v) => at(v) >= 0 && at(v) <= 100 && <At p={at(v)}><path class="wsk" d="M0 12v10" /></At>)}
        </>
      )}
      {value !== null && <At p={clamp(at(value))}><path class="tick" d={`M0 8V${EDGE}`} /></At>}
    </svg>
  );
}
