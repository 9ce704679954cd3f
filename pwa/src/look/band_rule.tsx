import { mark, percent, type Scale } from "./geometry";
import { num } from "./number";
import { At, Rule } from "./rule";

interface Limits { lower: number | null; target: number | null; upper: number | null }

/** The band in force on its rule, and the one that is typed, pencilled over it: what would change is seen by its place. */
export function BandRule({ scale, next, label }: { scale: Scale; next: Limits | null; label: string }) {
  return (
    <Rule scale={scale} label={label} over={next && (
      <>
        {next.lower !== null && <Pencilled scale={scale} value={next.lower} side={1} />}
        {next.upper !== null && <Pencilled scale={scale} value={next.upper} side={-1} />}
        {next.target !== null && <At p={mark(scale, next.target).at}><path class="pencilled-mark" d="M0 8V26" /></At>}
      </>
    )} />
  );
}

/** One limit as typed; beyond the rule it stands at its end, with its number. */
function Pencilled({ scale, value, side }: { scale: Scale; value: number; side: 1 | -1 }) {
  const m = mark(scale, value);
  return (
    <>
      <At p={m.at}><path class="pencilled-mark" d={`M${8 * side} -4H0V33`} /></At>
      <text class="num nb" x={percent(m.at)} dx={5 * side} y="-8" text-anchor={m.at < 12 ? "start" : m.at > 88 ? "end" : "middle"}>{num(value, 3, scale.signed)}{m.off ? " beyond" : ""}</text>
    </>
  );
}
