/**
 * The plan of a job: a graph of steps with hard and soft prerequisites. Which steps are done, ready, waiting for what, or
 * held by a missing part, and all that the part holds up. A failed stop-ride check holds the ride.
 */
import { standing, type DomainEntry } from "./handed_over";

export interface PlanStep {
  id: string;
  label?: string;
  hard?: readonly string[];
  soft?: readonly string[];
  parts?: readonly string[];
  quantities?: readonly string[];
  fasteners?: readonly string[];
  checks?: readonly string[];
  stage?: string;
}

export interface StepState {
  id: string;
  state: "done" | "ready" | "waiting" | "held";
  /** Hard prerequisites not done. */
  waits_for: string[];
  /** Soft ones not done; they do not stop the step. */
  better_after: string[];
  held_by_part: string[];
  held_by_check: string[];
}

export interface Plan {
  /** In working order. */
  states: StepState[];
  /** For each missing part all steps it holds up. */
  holds: Map<string, string[]>;
  blocked_ride: string[];
}

/** A plan that cannot be worked. For a cycle, each of `steps` needs the next, and the last is the first again. */
export class PlanError extends Error {
  override name = "PlanError";
  constructor(message: string, readonly steps: string[]) {
    super(message);
  }
}

const needs = (step: PlanStep) => [...(step.hard ?? []), ...(step.soft ?? [])];

/**
 * Steps with every prerequisite before what needs it, otherwise as given. Prerequisites that are not among the steps are
 * left out, since a bike is only asked what it has. Throws PlanError naming a cycle, of soft prerequisites too.
 */
export function workingOrder<S extends PlanStep>(steps: Iterable<S>): S[] {
  const left = byId(steps);
  const order: S[] = [];
  while (left.size > 0) {
    const next = [...left.values()].find((step) => !needs(step).some((id) => left.has(id)));
    if (!next) throw circle(left);
    order.push(next);
    left.delete(next.id);
  }
  return order;
}

function circle(left: Map<string, PlanStep>): PlanError {
  const path: string[] = [];
  // Every step left needs another one left: walking on must come round.
  for (let id = [...left.keys()][0]!; ; id = needs(left.get(id)!).find((need) => left.has(need))!) {
    const start = path.indexOf(id);
    path.push(id);
    if (start < 0) continue;
    const ring = path.slice(start);
    const words = ring.map((step) => `“${left.get(step)!.label || step}”`).join(", which needs ");
    return new PlanError(`The steps need each other in a circle: ${words}.`, ring);
  }
}

function byId<S extends PlanStep>(steps: Iterable<S>): Map<string, S> {
  const found = new Map<string, S>();
  for (const step of steps) {
    if (found.has(step.id)) throw new PlanError(`Two steps are called “${step.id}”.`, [step.id]);
    found.set(step.id, step);
  }
  return found;
}

/**
 * State of every step. `failedChecks` are the failed stop-ride checks; each holds every step of the ride. A step that
 * needs a missing part is held, and so is all that cannot be done without it. A step that is done holds nothing up.
 */
export function plan(
  steps: Iterable<PlanStep>, missingParts: Iterable<string> = [], doneIds: Iterable<string> = [], failedChecks: Iterable<string> = [],
): Plan {
  const [missing, done, failed] = [[...new Set(missingParts)], new Set(doneIds), [...new Set(failedChecks)]];
  const order = workingOrder(steps);
  const known = new Set(order.map((step) => step.id));
  const open = (ids: readonly string[] = []) => [...new Set(ids)].filter((id) => known.has(id) && !done.has(id));
  const states = new Map<string, StepState>();
  for (const step of order) {
    if (done.has(step.id)) {
      states.set(step.id, { id: step.id, state: "done", waits_for: [], better_after: [], held_by_part: [], held_by_check: [] });
      continue;
    }
    const waits_for = open(step.hard);
    const before = waits_for.map((id) => states.get(id)!);
    const held_by_part = missing.filter((part) => step.parts?.includes(part) || before.some((s) => s.held_by_part.includes(part)));
    const held_by_check = failed.filter((check) => step.stage === "road" || before.some((s) => s.held_by_check.includes(check)));
    const held = held_by_part.length + held_by_check.length > 0;
    states.set(step.id, {
      id: step.id, state: held ? "held" : waits_for.length > 0 ? "waiting" : "ready",
      waits_for, better_after: open(step.soft), held_by_part, held_by_check,
    });
  }
  const all = [...states.values()];
  const holds = new Map(missing.map((part) => [part, all.filter((s) => s.held_by_part.includes(part)).map((s) => s.id)]));
  return { states: all, holds, blocked_ride: failed };
}

/**
 * Ids of steps that are done: marked so, or each thing asked for has a standing entry. Of a check and of a torque the last
 * one counts: a check that was passed, a torque that holds.
 */
export function doneSteps(steps: Iterable<PlanStep>, entries: Iterable<DomainEntry>, marked: Iterable<string> = []): Set<string> {
  const last = standing(entries);
  const quantities = new Set(last.filter((e) => e.kind === "reading").map((e) => e.quantity));
  const torques = new Map(last.filter((e) => e.kind === "torque").map((e) => [e.fastener, e.holds]));
  const outcomes = checkOutcomes(last);
  const done = new Set(marked);
  for (const step of steps) {
    const wants = [step.quantities ?? [], step.fasteners ?? [], step.checks ?? []] as const;
    const asked = wants.some((ids) => ids.length > 0);
    const answered = wants[0].every((id) => quantities.has(id)) && wants[1].every((id) => torques.has(id) && torques.get(id) !== false) &&
      wants[2].every((id) => outcomes.get(id) === "passed");
    if (asked && answered) done.add(step.id);
  }
  return done;
}

/** Last standing outcome of each check: passed, failed or not_done. */
export function checkOutcomes(entries: Iterable<DomainEntry>): Map<string, string> {
  return new Map(standing(entries).filter((e) => e.kind === "check").map((e) => [e.check ?? "", e.outcome ?? ""]));
}
