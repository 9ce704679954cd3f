/** The way through the gears: from where the chain lies, on in the same direction, and back at the end. */
import type { Drivetrain, Gear } from "../../nouns";
import { shiftKey, type ShiftCheck } from "./tried";

export const same = (a: Gear, b: Gear): boolean => a.ring === b.ring && a.cog === b.cog;

/** Where the chain lies after a shift: one that did not come has not moved it. */
export const after = ({ from, to, outcome }: ShiftCheck["data"]): Gear => (outcome === "no_shift" ? from : to);

/** Where the walk begins when nothing is known: outermost, where a cable is slack. */
export const outermost = ({ rings, cogs }: Drivetrain): Gear => ({ ring: Math.max(...rings), cog: Math.min(...cogs) });

/** The cog that comes next on the same ring; null where there is only one. `last` is the last shift tried. */
export function nextGear({ cogs }: Drivetrain, at: Gear, last: ShiftCheck["data"] | null): Gear | null {
  const inward = [...cogs].sort((a, b) => a - b);
  const i = inward.indexOf(at.cog);
  const way = last && last.from.ring === last.to.ring && last.to.cog < last.from.cog ? -1 : 1;
  const cog = inward[i + way] ?? inward[i - way];
  return i < 0 || cog === undefined ? null : { ring: at.ring, cog };
}

/** Which shifts from cog to cog of a ring were tried, of how many. */
export function walked({ cogs }: Drivetrain, ring: number, found: ReadonlyMap<string, ShiftCheck>): { tried: number; of: number } {
  const inward = [...cogs].sort((a, b) => a - b);
  const pairs = inward.slice(1).flatMap((cog, i) => [[inward[i]!, cog], [cog, inward[i]!]] as const);
  return { tried: pairs.filter(([from, to]) => found.has(shiftKey({ ring, cog: from }, { ring, cog: to }))).length, of: pairs.length };
}

/** The newest shift into a gear that came from its outboard side (−1) or its inboard side (1). */
export function into(found: ReadonlyMap<string, ShiftCheck>, gear: Gear, front: boolean, side: -1 | 1): ShiftCheck | null {
  const part = front ? "ring" : "cog";
  // The largest ring lies outermost, the largest cog innermost.
  const inboard = (front ? -1 : 1) * side;
  const hits = [...found.values()].filter(({ data: { from, to } }) =>
    same(to, gear) && (from.ring !== to.ring) === front && Math.sign(from[part] - to[part]) === inboard);
  return hits.reduce<ShiftCheck | null>((newest, e) => (newest === null || e.taken_at >= newest.taken_at ? e : newest), null);
}
