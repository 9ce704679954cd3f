/** The facts of a bike that decide what it is asked, and its drivetrain family. */
import type { BikeDraft, Gear } from "../nouns";

export type Fact = string | number | boolean;
export type Facts = Readonly<Record<string, Fact>>;
/** A condition on each fact named: one wanted value, a list of them, or limits that are inside themselves. */
export type When = Readonly<Record<string, Fact | readonly Fact[] | { min?: number; max?: number }>>;

const falling = (teeth: readonly number[]) => [...teeth].sort((one, other) => other - one);

/** Flat facts of a bike. */
export function facts(bike: Pick<BikeDraft, "drivetrain" | "brakes" | "tyres">): Facts {
  const train = bike.drivetrain;
  const [rings, cogs] = [falling(train.rings), falling(train.cogs)];
  return {
    shifting: train.shifting,
    rear_mount: train.rear_mount,
    front_derailleur: train.front_derailleur,
    suspension: train.suspension ?? false,
    brakes: bike.brakes,
    tyres: bike.tyres,
    ring_count: rings.length,
    cog_count: cogs.length,
    largest_ring: rings[0]!,
    smallest_ring: rings.at(-1)!,
    largest_cog: cogs[0]!,
    smallest_cog: cogs.at(-1)!,
    family: family(train),
  };
}

/** Name of the family: bikes alike in shifting, speeds, rings and cogs, as in electronic-12x2-10-36-46-33. */
export function family(train: Pick<BikeDraft["drivetrain"], "rings" | "cogs" | "shifting">): string {
  const [rings, cogs] = [falling(train.rings), falling(train.cogs)];
  return [train.shifting, `${cogs.length}x${rings.length}`, cogs.at(-1), cogs[0], ...rings].join("-");
}

/** True when every condition holds. A fact the bike does not have fails its condition. */
export function applies(when: When, of: Facts): boolean {
  return Object.entries(when).every(([key, wanted]) => of[key] !== undefined && holds(wanted, of[key]));
}

/** What of a list this bike has; what was chosen before its facts were put right stays, to be taken out again. */
export function onBike<T extends { id: string; applies?: When }>(list: readonly T[], of: Facts, chosen: readonly string[] = []): T[] {
  return list.filter((one) => applies(one.applies ?? {}, of) || chosen.includes(one.id));
}

function holds(wanted: When[string], fact: Fact): boolean {
  if (Array.isArray(wanted)) return wanted.includes(fact);
  if (typeof wanted !== "object") return wanted === fact;
  const { min = -Infinity, max = Infinity } = wanted as { min?: number; max?: number };
  return min <= Number(fact) && Number(fact) <= max;
}

/** The gear a reading usually belongs to; `place` is the catalogue's gear_default. null for an unknown place. */
export function usualGear(place: string, bike: Pick<BikeDraft, "drivetrain">): Gear | null {
  const [rings, cogs] = [falling(bike.drivetrain.rings), falling(bike.drivetrain.cogs)];
  const inner = rings.at(-1)!;
  switch (place) {
    case "largest_cog":
    case "smallest_ring_largest_cog":
      return { ring: inner, cog: cogs[0]! };
    case "second_largest_cog":
      return { ring: inner, cog: cogs[1] ?? cogs[0]! };
    case "smallest_cog":
    case "largest_ring_smallest_cog":
      return { ring: rings[0]!, cog: cogs.at(-1)! };
    default:
      return null;
  }
}
