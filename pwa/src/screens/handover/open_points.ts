/** What a person has to accept before a bike goes out: what was asked and is missing, what no longer holds, what is outside. */
import { shownValue } from "../bench/line";
import { gearWords, unitLabel } from "../entry_words";
import { rideStarts, uncheckedBefore } from "../road/ridden";
import { outcomeOf, quantityState, torqueOf, type QuantityState, type Work } from "../work";

export interface OpenPoint { key: string; what: string; why: string; link: string[] }

export function openPoints(work: Work): OpenPoint[] {
  const points = new Map<string, OpenPoint>();
  const add = (p: OpenPoint) => points.has(p.key) || points.set(p.key, p);
  for (const q of readValues(work)) {
    const what = `${q.quantity.label}${q.gear ? `, ${gearWords(q.gear)}` : ""}`;
    const n = (v: number) => `${shownValue(q, v)} ${unitLabel(work.cat, q.quantity.unit)}`;
    const link = [stepOf(work, q.quantity.id), q.quantity.id];
    if (q.stale) add({ key: q.quantity.id, what, why: `was ${n(q.readingValue!)}, adjusted since measured`, link });
    else if (q.verdict === "outside") add({ key: q.quantity.id, what, why: `outside its band at ${n(q.value!)}`, link });
  }
  for (const s of work.steps) {
    if (s.state.state === "done") continue;
    for (const q of s.quantities) if (!q.readingId) add({ key: q.quantity.id, what: q.quantity.label, why: "not measured", link: [s.step.id, q.quantity.id] });
    for (const f of s.fasteners) if (!torqueOf(work, f.id)) add({ key: f.id, what: f.label, why: "no torque written down", link: [s.step.id, f.id] });
    for (const c of s.checks) {
      const outcome = outcomeOf(work, c.id);
      if (outcome !== "passed") add({ key: c.id, what: c.label, why: outcome === "failed" ? "failed" : outcome === "not_done" ? "not done" : "not looked at", link: [s.step.id] });
    }
  }
  for (const c of rideStarts(work.standing).flatMap((first) => uncheckedBefore(work, first))) {
    const since = outcomeOf(work, c.id) === "passed" ? "only later" : "nor since";
    const step = work.steps.find((s) => s.checks.includes(c));
    points.set(c.id, { key: c.id, what: c.label, why: `not checked before the test ride, ${since}`, link: step ? [step.step.id] : [] });
  }
  return [...points.values()];
}

/** Every quantity of this job that was read, in its gear. */
export function readValues(work: Work): QuantityState[] {
  return work.values.flatMap((v) => {
    const quantity = work.cat.quantities.find((q) => q.id === v.quantity);
    return quantity && v.reading_id ? [quantityState(work, quantity, v.gear ? { ring: v.gear[0], cog: v.gear[1] } : null)] : [];
  });
}

function stepOf(work: Work, quantity: string): string {
  return work.steps.find((s) => [...s.quantities, ...s.also].some((q) => q.quantity.id === quantity))?.step.id ?? "";
}
