/** Rub windows from what was written down: the last count on each side of each cog, as it stands after later turning. */
import { domainEntry } from "../domain_entry";
import { entriesOfBike, jobsOf } from "../../book";
import { standing, type DomainEntry } from "../../domain/handed_over";
import type { CogWindow } from "../../domain/rub_window";
import type { Work } from "../work";

export const IN = "rub_in_steps";
export const OUT = "rub_out_steps";
const TRIM = "rear_trim";

export interface CogCount { in_steps: number | null; out_steps: number | null }

/**
 * Counts by cog on one ring. A step turned inboard after the counting leaves one step fewer to the noise inboard and one
 * more to that outboard, so that windows counted before the last adjustment can still be compared.
 */
export function countsOf(entries: readonly DomainEntry[], ring: number): Map<number, CogCount> {
  const found = new Map<number, CogCount>();
  for (const e of standing(entries)) {
    if (e.kind === "reading" && e.gear && e.gear[0] === ring && e.value != null && (e.quantity === IN || e.quantity === OUT)) {
      const before = found.get(e.gear[1]) ?? { in_steps: null, out_steps: null };
      found.set(e.gear[1], { ...before, [e.quantity === IN ? "in_steps" : "out_steps"]: e.value });
    } else if (e.kind === "adjustment" && e.adjuster === TRIM && e.amount) {
      for (const [cog, c] of found) {
        found.set(cog, { in_steps: c.in_steps === null ? null : c.in_steps - e.amount, out_steps: c.out_steps === null ? null : c.out_steps + e.amount });
      }
    }
  }
  return found;
}

/** The cogs counted on both sides. */
export function windowsOf(counts: Map<number, CogCount>): CogWindow[] {
  return [...counts].flatMap(([cog, c]) => (c.in_steps === null || c.out_steps === null ? [] : [{ cog, in_steps: c.in_steps, out_steps: c.out_steps }]));
}

/** What was counted in this job, and the windows the bike left with at its last visit. */
export function countsFor(work: Work, ring: number): { now: Map<number, CogCount>; then: CogWindow[] } {
  const inDomain = (jobId: string) => entriesOfBike(work.bike.id).value.filter((e) => e.entry.job_id === jobId && e.state !== "set_aside")
    .map((e) => domainEntry(work.cat, e, work.bike)).filter((e) => e !== null);
  const last = jobsOf(work.bike.id).find((j) => j.id !== work.job.id && j.state !== "open" && j.opened_at < work.job.opened_at);
  return { now: countsOf(inDomain(work.job.id), ring), then: last ? windowsOf(countsOf(inDomain(last.id), ring)) : [] };
}
