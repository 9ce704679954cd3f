import { judge } from "../../domain/conformity";
import { GUARD, scaleOf } from "../../look/geometry";
import { num } from "../../look/number";
import { QuantityLine } from "../../look/quantity_line";
import { unitLabel } from "../entry_words";
import { whiskerOf, type QuantityState, type Work } from "../work";

/** Differences left minus right: worked out once both sides are read, never entered. */
export function PairLines({ work, of }: { work: Work; of: QuantityState[] }) {
  return (
    <>
      {work.cat.pairs.map((p) => {
        const left = of.find((q) => q.quantity.id === p.left);
        const right = of.find((q) => q.quantity.id === p.right);
        if (left?.value == null || right?.value == null) return null;
        const value = left.value - right.value;
        const u = Math.hypot(left.u, right.u);
        const scale = scaleOf({ lower: p.lower, upper: p.upper, plausible: [-100, 100], minor: p.minor, major: p.major, signed: true });
        return (
          <QuantityLine key={p.id} name={p.label} unit={unitLabel(work.cat, p.unit)} shown={num(value, p.digits, true)} caption={`±${num(GUARD * u, 2)}`}
            verdict={judge(value, u, p).verdict} scale={scale} value={value} whisker={whiskerOf({ value, u })} />
        );
      })}
    </>
  );
}
