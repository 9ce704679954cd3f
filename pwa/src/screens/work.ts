/**
 * A job as the screens show it: its plan, and for each quantity what was read, what has been turned since, and the
 * verdict. Worked out on the phone from the catalogue and the entries, so that it needs no signal.
 */
import { computed, type ReadonlySignal } from "@preact/signals";
import { catalogue, entriesOf, jobsOf, type LoggedEntry } from "../book";
import { applies, bandFor, facts, usualGear, type Band, type Catalogue, type Check, type Facts, type Fastener, type Quantity, type Step, type When } from "../catalogue";
import { judge, judgeInterval } from "../domain/conformity";
import { judgeDeviation, type HangerFit } from "../domain/hanger";
import { handedOver, standing, type HandedOver } from "../domain/handed_over";
import { doneSteps, plan, type StepState } from "../domain/plan";
import type { StepMark } from "../look/plan_rule";
import { GUARD } from "../look/geometry";
import type { VerdictWord } from "../look/verdict";
import type { Bike, Entry, EntryOf, Gear, Job } from "../nouns";
import { NOT_READ } from "../store/shown";
import { adjustersOf, domainEntry, radiusOf, tipsOf, tryFit } from "./domain_entry";

export type CheckOutcome = "passed" | "failed" | "not_done";
export const STEP_DONE = "step_";

export interface QuantityState {
  quantity: Quantity;
  gear: Gear | null;
  band: Band | null;
  value: number | null;
  low: number | null;
  high: number | null;
  u: number;
  verdict: VerdictWord;
  stale: boolean;
  readingValue: number | null;
  stepsAdded: number;
  readingId: string | null;
  /** Handed over at the last visit; read when it is asked for. */
  readonly baseline: number | null;
  /** The same as the two feelers it lay between, where it was read so. */
  readonly baselineLeaf: readonly [number, number] | null;
  ends: [string, string] | null;
  /** The hanger's readings, fitted. */
  fit: HangerFit | null;
}

export interface WorkStep {
  step: Step;
  state: StepState;
  quantities: QuantityState[];
  also: QuantityState[];
  fasteners: Fastener[];
  alsoFasteners: Fastener[];
  checks: Check[];
}

export interface Work {
  bike: Bike;
  job: Job;
  cat: Catalogue;
  facts: Facts;
  entries: LoggedEntry[];
  standing: Entry[];
  values: HandedOver[];
  /** What the bike left with the last time, read when it is asked for: a list of jobs does without. */
  readonly before: HandedOver[];
  steps: WorkStep[];
  now: WorkStep | null;
  marks: StepMark[];
  words: string;
  failedStops: Check[];
  openStops: Check[];
}

const sameGear = (a: readonly [number, number] | null, b: Gear | null): boolean => (a === null ? b === null : !!b && a[0] === b.ring && a[1] === b.cog);

/** Everything about a job with these entries; null while the catalogue has not come. */
export function workOf(bike: Bike, job: Job, entries: LoggedEntry[]): Work | null {
  const cat = catalogue.value;
  if (!cat) return null;
  const of = facts(bike);
  const own = entries.filter((e) => e.state !== "set_aside");
  const inDomain = own.map((e) => domainEntry(cat, e, bike)).filter((e) => e !== null);
  const byId = new Map(own.map((e) => [e.entry.id, e.entry]));
  const work: Work = {
    bike, job, cat, facts: of, entries, values: handedOver(inDomain, adjustersOf(cat)),
    get before() { return lastHandedOver(bike, job); },
    standing: standing(inDomain).map((e) => byId.get(e.id)!),
    steps: [], now: null, marks: [], words: "", failedStops: [], openStops: [],
  };
  const steps = stepsFor(cat, of, job);
  const failed = failedStops(work);
  const marked = steps.filter((s) => outcomeOf(work, STEP_DONE + s.id) === "passed").map((s) => s.id);
  const states = plan(steps, job.missing_parts ?? [], doneSteps(steps, inDomain, marked), failed.map((c) => c.id)).states;
  const byStep = new Map(steps.map((s) => [s.id, s]));
  work.failedStops = failed;
  work.openStops = stopChecks(work).filter((c) => outcomeOf(work, c.id) === null || outcomeOf(work, c.id) === "not_done");
  work.steps = states.map((state) => workStep(work, byStep.get(state.id)!, state));
  work.now = work.steps.find((s) => s.state.state === "ready") ?? work.steps.find((s) => s.state.state === "waiting") ?? null;
  work.marks = work.steps.map((s) => (s === work.now ? "now" : s.state.state === "done" ? "done" : s.state.state === "held" ? "held" : "todo"));
  work.words = words(work);
  return work;
}

interface Worked {
  bike: Bike;
  job: Job;
  work: ReadonlySignal<Work | null>;
}
const worked = new Map<string, Worked>();

/**
 * The work of a job, followed by whoever reads it; null until it can be told. It is worked out once for each change of
 * this bike, this job or its entries, however often the screens ask and whatever else is saved.
 */
export function useWork(bike: Bike, job: Job): Work | null {
  let known = worked.get(job.id);
  if (known?.bike !== bike || known.job !== job) {
    const entries = entriesOf(job.id);
    known = { bike, job, work: computed(() => (entries.value === NOT_READ ? null : workOf(bike, job, entries.value))) };
    worked.set(job.id, known);
  }
  return known.work.value;
}

/** Steps of this kind of job, asking only what the bike has. */
function stepsFor(cat: Catalogue, of: Facts, job: Job): Step[] {
  const has = (list: { id: string; applies?: When }[]) => {
    const ids = new Set(list.filter((x) => applies(x.applies ?? {}, of)).map((x) => x.id));
    return (asked: string[] = []) => asked.filter((id) => ids.has(id));
  };
  const [q, f, c] = [has(cat.quantities), has(cat.fasteners), has(cat.checks)];
  return cat.steps.filter((s) => applies(s.applies, of) && s.kinds.includes(job.kind)).map((s) => ({
    ...s, quantities: q(s.quantities), fasteners: f(s.fasteners), checks: c(s.checks), also_quantities: q(s.also_quantities), also_fasteners: f(s.also_fasteners),
  }));
}

function workStep(work: Work, step: Step, state: StepState): WorkStep {
  const pick = <T extends { id: string }>(list: T[], ids: string[] | undefined): T[] => (ids ?? []).map((id) => list.find((x) => x.id === id)).filter((x) => x !== undefined);
  const { cat } = work;
  const quantities = (ids: string[] | undefined) => pick(cat.quantities, ids).map((q) => quantityState(work, q));
  return {
    step, state, quantities: quantities(step.quantities), also: quantities(step.also_quantities),
    fasteners: pick(cat.fasteners, step.fasteners), alsoFasteners: pick(cat.fasteners, step.also_fasteners), checks: pick(cat.checks, step.checks),
  };
}

/** A quantity as it stands now, in the gear given, or in the one last read, or in its usual one. */
export function quantityState(work: Work, quantity: Quantity, wanted?: Gear | null): QuantityState {
  const own = work.values.filter((v) => v.quantity === quantity.id);
  const usual = quantity.gear && quantity.gear !== "none" ? usualGear(quantity.gear_default ?? "", work.bike) : null;
  const read = own.filter((v) => v.reading_id).sort((a, b) => b.taken_at! - a.taken_at!)[0];
  const gear = wanted !== undefined ? wanted : read ? (read.gear ? { ring: read.gear[0], cog: read.gear[1] } : null) : usual;
  const v = own.find((x) => sameGear(x.gear, gear)) ?? null;
  const before = () => work.before.find((x) => x.quantity === quantity.id && sameGear(x.gear, gear));
  const band = bandFor(work.cat, quantity.id, work.facts, work.bike.drivetrain);
  const state: QuantityState = {
    quantity, gear, band, value: v?.value ?? null, low: v?.low ?? null, high: v?.high ?? null, u: v?.u ?? quantity.u, verdict: "none",
    stale: v?.stale ?? false, readingValue: v?.reading_value ?? null, stepsAdded: v?.steps_added ?? 0, readingId: v?.reading_id ?? null,
    get baseline() { return before()?.value ?? null; },
    get baselineLeaf() { const { low, high } = before() ?? {}; return low != null && high != null ? [low, high] as const : null; },
    ends: endsOf(work.cat, quantity), fit: null,
  };
  if (quantity.input === "hanger" && state.readingId && !state.stale) state.fit = fitOf(work, state);
  state.verdict = judged(state);
  return state;
}

function fitOf(work: Work, q: QuantityState): HangerFit | null {
  const tips = tipsOf(work.standing, q.readingId);
  return tips && tryFit(tips, radiusOf(work.bike), q.quantity.u);
}

function judged(q: QuantityState): VerdictWord {
  if (q.value === null) return "none";
  if (q.fit) return judgeDeviation(q.fit, q.band).verdict;
  return (q.low !== null && q.high !== null ? judgeInterval(q.low, q.high, q.band) : judge(q.value, q.u, q.band)).verdict;
}

/** What measuring leaves open, each way, as values. */
export function whiskerOf(q: { value: number | null; u: number; fit?: HangerFit | null }): readonly [number, number] | null {
  if (q.fit?.deviation_interval_mm) return q.fit.deviation_interval_mm;
  return q.value !== null && q.u > 0 ? [q.value - GUARD * q.u, q.value + GUARD * q.u] : null;
}

/** Words at the ends of a setting's rule: what its adjuster calls the two ways. */
function endsOf(cat: Catalogue, q: Quantity): [string, string] | null {
  if (q.bands?.length || !(q.signed && q.setting)) return null;
  const a = cat.adjusters.find((x) => x.adds_to?.some((t) => t.quantity === q.id && t.factor > 0));
  return a ? [a.negative, a.positive] : null;
}

function lastHandedOver(bike: Bike, job: Job): HandedOver[] {
  const last = jobsOf(job.bike_id).find((j) => j.id !== job.id && j.state !== "open" && j.opened_at < job.opened_at);
  return (last && useWork(bike, last)?.values) ?? [];
}

export function stopChecks(work: Pick<Work, "cat" | "facts">): Check[] {
  return work.cat.checks.filter((c) => c.stop_ride && applies(c.applies ?? {}, work.facts));
}

function failedStops(work: Work): Check[] {
  return stopChecks(work).filter((c) => outcomeOf(work, c.id) === "failed");
}

/** What last came of a check; null while it was not looked at. */
export function outcomeOf(work: Pick<Work, "standing">, check: string): CheckOutcome | null {
  for (let i = work.standing.length - 1; i >= 0; i--) {
    const e = work.standing[i]!;
    if (e.kind === "check" && e.data.check === check) return e.data.outcome;
  }
  return null;
}

/** The last torque written down for a fastener. */
export function torqueOf(work: Pick<Work, "standing">, fastener: string): EntryOf<"torque"> | null {
  for (let i = work.standing.length - 1; i >= 0; i--) {
    const e = work.standing[i]!;
    if (e.kind === "torque" && e.data.fastener === fastener) return e;
  }
  return null;
}

function words(work: Work): string {
  const n = work.steps.length;
  const held = work.steps.filter((s) => s.state.state === "held").length;
  if (!work.now) return work.steps.every((s) => s.state.state === "done") ? "all done" : `${held} held`;
  if (work.now.step.id === "handover") return "ready for handover";
  return `step ${work.steps.indexOf(work.now) + 1} of ${n}${held ? `, ${held} held` : ""}`;
}

/** As found on arrival, otherwise in the stand. */
export function stageOf(work: Pick<Work, "job">, step: Step): "found" | "bench" {
  return step.stage === "found" && work.job.kind !== "build" ? "found" : "bench";
}
