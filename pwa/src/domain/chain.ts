/** Chain and sprockets: pitch radius, length, cut, capacity, elongation. Lengths in mm unless said otherwise. */
import { ALLOWANCE_LINKS, linksOver, linksToCut, PITCH_MM } from "./chain_length";
import { CannotCompute } from "./errors";

export { linksOver, pitchRadius } from "./chain_length";

export const DOUBLE_RULE = "Two links more is the rule for a double: look up what this drivetrain's maker asks for.";
export const CHECK_ON_BIKE = "Never cut by numbers alone: lay the chain over the outer ring and largest cog first.";
const SPREAD_PERCENT = 5;

/** What a chain is sized from; what is not known is left out. `growth_mm`: what rear suspension adds at its longest. */
export interface ChainFacts {
  rings: readonly number[];
  cogs: readonly number[];
  chainstay_mm: number;
  growth_mm?: number | undefined;
  allowance_links?: number | undefined;
  rear_capacity?: number | undefined;
  rear_max_cog?: number | undefined;
}

/** Links over outer ring and largest cog, links to cut (connecting link counted), derailleur capacity in teeth. */
export interface ChainSize {
  exact_links: number;
  links_to_cut: number;
  allowance_links: number;
  capacity_needed: number;
  capacity_ok: boolean | null;
  max_cog_ok: boolean | null;
  advice: string;
  why_not: Record<string, string>;
}

/**
 * Sizes a chain over the outer ring and largest cog (common practice), and checks the rear derailleur's ratings. The exact
 * length goes up to the next even number of links, plus the allowance: two on a double, others as the maker says.
 * Capacity needed = (largest - smallest ring) + (largest - smallest cog), in teeth. A rating that is not given leaves its
 * answer null. Throws CannotCompute without rings or cogs, or for lengths that cannot be.
 */
export function sizeChain(known: ChainFacts): ChainSize {
  const { rings, cogs, rear_capacity, rear_max_cog, growth_mm = 0 } = known;
  if (!rings.length || !cogs.length) throw new CannotCompute("Rings and cogs are needed to size a chain.");
  if (!(growth_mm >= 0 && growth_mm < Infinity)) throw new CannotCompute("What the suspension adds to the chainstay cannot be below zero.");
  const allowance = known.allowance_links ?? ALLOWANCE_LINKS;
  if (allowance < 0 || allowance % 2) throw new CannotCompute("A chain closes with an even number of links only: the allowance must be even.");
  const [large, small] = [Math.max(...cogs), Math.min(...cogs)];
  const exact = linksOver(Math.max(...rings), large, known.chainstay_mm + growth_mm);
  const capacity = Math.max(...rings) - Math.min(...rings) + large - small;
  const unsure = known.allowance_links === undefined && new Set(rings).size !== 2;
  return {
    exact_links: exact,
    links_to_cut: linksToCut(exact, allowance),
    allowance_links: allowance,
    capacity_needed: capacity,
    capacity_ok: rear_capacity === undefined ? null : capacity <= rear_capacity,
    max_cog_ok: rear_max_cog === undefined ? null : large <= rear_max_cog,
    advice: unsure ? `${CHECK_ON_BIKE} ${DOUBLE_RULE}` : CHECK_ON_BIKE,
    why_not: {
      ...(rear_capacity === undefined && { capacity_ok: "The rear derailleur's rated capacity is not given." }),
      ...(rear_max_cog === undefined && { max_cog_ok: "The rear derailleur's largest cog is not given." }),
    },
  };
}

/**
 * How much longer than new a stretch of chain is, in percent: (L / (n p) - 1) 100, pitch by ISO 9633. Throws
 * CannotCompute where length and count cannot belong together: more than 5 % apart.
 */
export function elongation(links: number, lengthMm: number): number {
  if (!(links >= 1) || !Number.isFinite(lengthMm)) throw new CannotCompute("A length over one link or more is needed.");
  const percent = (lengthMm / (links * PITCH_MM) - 1) * 100;
  if (!(Math.abs(percent) <= SPREAD_PERCENT)) {
    throw new CannotCompute(`That is not the length of ${links} links: count and measure again.`);
  }
  return percent;
}
