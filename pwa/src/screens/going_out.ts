/** What the bike goes out with: values as they stand, differences and torques, and how many of them have which verdict. */
import type { Fastener, Pair } from "../catalogue";
import type { components } from "../contract";
import { judge, type Verdict } from "../domain/conformity";
import { tryTorqueAt, type AtFastener } from "./torque_value";
import { quantityState, torqueOf, type QuantityState, type Work } from "./work";

/** As the record counts. */
export type Counts = components["schemas"]["Counts"];

export interface TorqueState { fastener: Fastener; at: AtFastener | null }
export interface PairState { pair: Pair; value: number; u: number; verdict: Verdict }

export interface GoingOut {
  /** Every quantity that was read, in its gear; one that no longer holds has no value. */
  values: QuantityState[];
  pairs: PairState[];
  torques: TorqueState[];
  counts: Counts;
}

export function goingOut(work: Work): GoingOut {
  const values = work.values.flatMap((v) => {
    const quantity = work.cat.quantities.find((q) => q.id === v.quantity);
    return quantity && v.reading_id ? [quantityState(work, quantity, v.gear ? { ring: v.gear[0], cog: v.gear[1] } : null)] : [];
  });
  const pairs = pairsOf(work, values);
  const torques = work.cat.fasteners.flatMap((fastener) => {
    const entry = torqueOf(work, fastener.id);
    return entry ? [{ fastener, at: tryTorqueAt(work.cat, entry.data, entry.gauge_id) }] : [];
  });
  const counts: Counts = { values: 0, inside: 0, borderline: 0, outside: 0, none: 0 };
  const going = [...values.filter((q) => q.value !== null), ...pairs, ...torques.map(({ at }) => at)];
  for (const one of going) {
    counts.values += 1;
    counts[one?.verdict ?? "none"] += 1;
  }
  return { values, pairs, torques, counts };
}

/** Differences left minus right: worked out once both sides are read, never entered. */
export function pairsOf(work: Pick<Work, "cat">, of: QuantityState[]): PairState[] {
  return work.cat.pairs.flatMap((pair) => {
    const [left, right] = [pair.left, pair.right].map((id) => of.find((q) => q.quantity.id === id));
    if (left?.value == null || right?.value == null) return [];
    const [value, u] = [left.value - right.value, Math.hypot(left.u, right.u)];
    return [{ pair, value, u, verdict: judge(value, u, pair).verdict }];
  });
}
