/** What a ride has come to: its checks, turned in all, gears judged and not, and what is left open. */
import type { Check } from "../../catalogue";
import { byBarrelTurns, bySteps } from "../../domain/fine_position";
import { num } from "../../look/number";
import type { Drivetrain, Entry, Gear } from "../../nouns";
import { turnedWords } from "../entry_words";
import { outcomeOf, STEP_DONE, stopChecks, type Work } from "../work";

export const RIDE_ENDED = `${STEP_DONE}test_ride`;
const ended = (e: Entry): boolean => e.kind === "check" && e.data.check === RIDE_ENDED && e.stage === "road";

/** Entries of the last ride that was ended; empty where there was none. */
export function lastRide(standing: readonly Entry[]): Entry[] {
  const end = standing.findLastIndex(ended);
  const before = standing.slice(0, Math.max(0, end)).findLastIndex(ended);
  return standing.slice(before + 1, Math.max(0, end)).filter((e) => e.stage === "road");
}

/** The first entry of each ride. */
export function rideStarts(standing: readonly Entry[]): Entry[] {
  let riding = false;
  return standing.filter((e) => {
    const first = e.stage === "road" && !riding;
    riding = (riding || first) && !ended(e);
    return first;
  });
}

/** Stop-ride checks that were not passed before a ride whose first entry this is; without one: that are not passed now. */
export function uncheckedBefore(work: Pick<Work, "cat" | "facts" | "standing">, first: Entry | undefined): Check[] {
  const before = { standing: work.standing.slice(0, first && work.standing.indexOf(first)) };
  return stopChecks(work).filter((c) => outcomeOf(before, c.id) !== "passed");
}

/** Net, by adjuster, in the adjuster's own unit, and in mm at the guide pulley where the bike's facts give them. */
export function turnedInAll(work: Pick<Work, "cat" | "bike">, road: readonly Entry[]): string[] {
  const sums = new Map<string, number>();
  for (const e of road) if (e.kind === "adjustment" && e.data.adjuster !== "none") sums.set(e.data.adjuster, (sums.get(e.data.adjuster) ?? 0) + e.data.amount);
  return [...sums].filter(([, amount]) => amount).map(([id, amount]) => {
    const a = work.cat.adjusters.find((x) => x.id === id);
    const mm = atPulley(work.bike.drivetrain, id, amount);
    return `${a?.short ?? id} ${turnedWords(work.cat, id, amount, a?.unit ?? "step")}${mm === null ? "" : `, ${num(Math.abs(mm), 2)} mm at the pulley`}`;
  });
}

/** What was turned on the road up to the end of this ride, on earlier rides too, since the stand last set or read it. */
export function sinceTheStand(work: Pick<Work, "cat" | "standing">, road: readonly Entry[]): Entry[] {
  const last = road.at(-1);
  const until = last ? work.standing.slice(0, work.standing.indexOf(last) + 1) : work.standing;
  return until.filter((e, i) => e.kind === "adjustment" && e.stage === "road" && !until.slice(i).some((later) => setInTheStand(work, later, e.data.adjuster)));
}

function setInTheStand({ cat }: Pick<Work, "cat">, e: Entry, adjuster: string): boolean {
  if (e.stage === "road") return false;
  if (e.kind === "adjustment") return e.data.adjuster === adjuster;
  return e.kind === "reading" && !!cat.adjusters.find((a) => a.id === adjuster)?.adds_to?.some((t) => t.quantity === e.data.quantity);
}

function atPulley(d: Drivetrain, adjuster: string, amount: number): number | null {
  if (adjuster === "rear_trim" && d.trim_step_mm) return bySteps(amount, d.trim_step_mm);
  return adjuster === "barrel" && d.actuation_ratio ? byBarrelTurns(amount, d.actuation_ratio) : null;
}

const key = (g: Gear) => `${g.ring}x${g.cog}`;

/** Gears that something was written down in, shifts included. */
export function judgedIn(road: readonly Entry[]): Set<string> {
  return new Set(road.flatMap((e) => [...(e.gear ? [key(e.gear)] : []), ...(e.kind === "shift_check" ? [key(e.data.from), key(e.data.to)] : [])]));
}

/** "On the 46 not judged: 10, 11. On the 33 none was judged." */
export function notJudged({ rings, cogs }: Drivetrain, judged: ReadonlySet<string>): string[] {
  const inward = [...cogs].sort((a, b) => a - b);
  return [...rings].sort((a, b) => b - a).flatMap((ring) => {
    const left = inward.filter((cog) => !judged.has(key({ ring, cog })));
    if (!left.length) return [];
    return [left.length === inward.length ? `On the ${ring} none of the cogs was judged.` : `On the ${ring} not judged: ${left.join(", ")}.`];
  });
}

/** The last turning whose effect nobody wrote down; null: none. */
export function unjudgedTurning(road: readonly Entry[]): Extract<Entry, { kind: "adjustment" }> | null {
  const last = road.findLast((e) => e.kind === "adjustment" && e.data.adjuster !== "none");
  return last?.kind === "adjustment" && !last.data.effect ? last : null;
}
