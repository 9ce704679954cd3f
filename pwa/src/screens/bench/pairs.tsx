import { GUARD, scaleOf } from "../../look/geometry";
import { num } from "../../look/number";
import { QuantityLine } from "../../look/quantity_line";
import { unitLabel } from "../entry_words";
import { pairsOf } from "../going_out";
import { whiskerOf, type QuantityState, type Work } from "../work";

/** Differences of what stands on both sides. */
export function PairLines({ work, of }: { work: Work; of: QuantityState[] }) {
  return (
    <>
      {pairsOf(work, of).map(({ pair: p, value, u, verdict }) => {
        const scale = scaleOf({ lower: p.lower, upper: p.upper, plausible: [-100, 100], minor: p.minor, major: p.major, signed: true });
        return (
          <QuantityLine key={p.id} name={p.label} unit={unitLabel(work.cat, p.unit)} shown={num(value, p.digits, true)} caption={`±${num(GUARD * u, 2)}`}
            verdict={verdict} scale={scale} value={value} whisker={whiskerOf({ value, u })} />
        );
      })}
    </>
  );
}
