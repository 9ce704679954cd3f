/**
 * What a person has to accept before a bike goes out: what was asked and is missing, what no longer holds, what is outside
 * its band, what is still heard or felt. The service asks for the same (schemas/vectors/open_points.json).
 */
import { num } from "../../look/number";
import type { EntryDraft } from "../../nouns";
import { shownValue } from "../bench/line";
import { gearWords, labelOf, unitLabel } from "../entry_words";
import { rideStarts, uncheckedBefore } from "../road/ridden";
import { jobLink } from "../route";
import { notClean, shiftWords, tried } from "../shifts/tried";
import { NM } from "../torque_value";
import { outcomeOf, STEP_DONE, torqueOf, type Work, type WorkStep } from "../work";
import { felt } from "./felt";
import type { GoingOut } from "../going_out";

export interface OpenPoint {
  /** What the service calls it; two gears of one quantity are two points of one key. */
  key: string;
  what: string;
  why: string;
  href: string;
  /** What can be written down at once instead of accepting. */
  settle?: { word: string; draft: EntryDraft };
}

export function openPoints(work: Work, out: GoingOut): OpenPoint[] {
  const asked = new Map([...work.steps.flatMap((s) => ofStep(work, s)), ...uncheckedRides(work)].map((p) => [p.key, p]));
  return [...torques(work, out), ...values(work, out), ...felt(work), ...shifts(work), ...asked.values()];
}

function values(work: Work, { values, pairs }: GoingOut): OpenPoint[] {
  const read = values.flatMap((q) => {
    const n = (v: number) => `${shownValue(q, v)} ${unitLabel(work.cat, q.quantity.unit)}`;
    const why = q.stale ? `was ${n(q.readingValue!)}, adjusted since measured` : q.verdict === "outside" ? `outside its band at ${n(q.value!)}` : null;
    return why ? [{ key: q.quantity.id, what: `${q.quantity.label}${q.gear ? `, ${gearWords(q.gear)}` : ""}`, why, href: lineLink(work, q.quantity.id) }] : [];
  });
  const apart = pairs.filter((p) => p.verdict === "outside").map(({ pair, value }) => ({
    key: pair.id, what: pair.label, why: `outside its band at ${num(value, pair.digits, true)} ${unitLabel(work.cat, pair.unit)}`, href: lineLink(work, pair.left),
  }));
  return [...read, ...apart];
}

function torques(work: Work, { torques }: GoingOut): OpenPoint[] {
  return torques.flatMap(({ fastener, at }) => {
    if (!at || at.holds) return [];
    const nm = `${num(at.value_nm, 1)} ${NM}`;
    return [{ key: fastener.id, what: fastener.label, why: at.verdict === "outside" ? `outside its band at ${nm}` : `${nm} cannot be judged. ${at.refused}`, href: lineLink(work, fastener.id) }];
  });
}

/** All shifts whose last try was not clean are one point: a cross-shifted chain may rub in many. */
function shifts(work: Work): OpenPoint[] {
  const bad = notClean(tried(work.standing, ["bench", "road"])).map((e) => shiftWords(work.cat, e));
  return bad.length ? [{ key: "shifts", what: "Shifts that were not clean", why: bad.join("; "), href: jobLink(work.job.id, "road", "shifts") }] : [];
}

/** What a step asks for and nobody logged. A held one stands for all that it asks for, save for what keeps a rider safe. */
function ofStep(work: Work, s: WorkStep): OpenPoint[] {
  const { step, state } = s;
  if (state.state === "done") return [];
  const href = (item?: string) => jobLink(work.job.id, "bench", step.id, ...(item ? [item] : []));
  const held = state.held_by_part.length > 0;
  const checks = s.checks.filter((c) => !held || c.stop_ride).flatMap((c) => {
    const outcome = outcomeOf(work, c.id);
    return outcome === "passed" ? [] : [{ key: c.id, what: c.label, why: outcome === "failed" ? "failed" : outcome === "not_done" ? "not done" : "not looked at", href: href() }];
  });
  if (held) {
    const parts = state.held_by_part.map((id) => labelOf(work.cat.parts, id)).join(", ");
    return [...(step.id === "handover" ? [] : [{ key: STEP_DONE + step.id, what: step.label, why: `held, no ${parts}`, href: href() }]), ...checks];
  }
  return [
    ...s.quantities.filter((q) => !q.readingId).map((q) => ({ key: q.quantity.id, what: q.quantity.label, why: "not measured", href: href(q.quantity.id) })),
    ...s.fasteners.filter((f) => !torqueOf(work, f.id)).map((f) => ({ key: f.id, what: f.label, why: "no torque written down", href: href(f.id) })),
    ...checks,
  ];
}

/** Checks that a ride did not wait for, also where they were passed later. */
function uncheckedRides(work: Work): OpenPoint[] {
  return rideStarts(work.standing).flatMap((first) => uncheckedBefore(work, first)).map((c) => {
    const step = work.steps.find((s) => s.checks.includes(c));
    return { key: c.id, what: c.label, why: `not checked before the test ride, ${outcomeOf(work, c.id) === "passed" ? "only later" : "nor since"}`, href: jobLink(work.job.id, "bench", ...(step ? [step.step.id] : [])) };
  });
}

/** Where a quantity is read or a fastener tightened. */
export function lineLink(work: Work, id: string): string {
  const asks = (s: WorkStep) => [...s.quantities, ...s.also].some((q) => q.quantity.id === id) || [...s.fasteners, ...s.alsoFasteners].some((f) => f.id === id);
  const step = work.steps.find(asks);
  return jobLink(work.job.id, "bench", ...(step ? [step.step.id, id] : []));
}
