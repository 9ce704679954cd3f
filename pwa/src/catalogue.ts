/** The catalogue as the service gives it: every label, band, unit, step and cause the phone shows comes from here. */
import { applies, type Facts, type When } from "./domain/bike";
import { ALLOWANCE_LINKS, linksOver, linksToCut } from "./domain/chain_length";
import { convert, parseFactor } from "./domain/units";
import type { Drivetrain } from "./nouns";

export { applies, facts, family, onBike, usualGear, type Facts, type When } from "./domain/bike";

export interface Band {
  when?: When;
  lower?: number | null;
  upper?: number | null;
  target?: number | null;
  tag: string;
  source?: string | null;
}
export interface Unit {
  id: string;
  label: string;
  dimension: string;
  /** Exact, to the base unit of the dimension. */
  factor: string;
}
export interface Quantity {
  id: string;
  label: string;
  customer_label: string;
  unit: string;
  u: number;
  u_tag: string;
  tool: string;
  how: string;
  group: string;
  setting?: boolean;
  signed?: boolean;
  gear?: "none" | "cog" | "gear";
  gear_default?: string;
  zero?: boolean;
  digits: number;
  step: number;
  plausible: [number, number];
  minor: number;
  major: number;
  span?: number;
  full?: number;
  go_no_go?: number[];
  /** Counted, never between two. */
  whole?: boolean;
  input?: "number" | "hanger";
  computed?: boolean;
  band_from?: "chain_size";
  applies: When;
  bands: Band[];
}
export interface Pair {
  id: string;
  label: string;
  customer_label: string;
  left: string;
  right: string;
  unit: string;
  lower: number;
  upper: number;
  minor: number;
  major: number;
  digits: number;
  tag: string;
}
export interface Adjuster {
  id: string;
  label: string;
  short?: string;
  words?: string;
  unit: string;
  positive: string;
  negative: string;
  road: boolean;
  step: number;
  adds_to: { quantity: string; factor: number }[];
  makes_stale: string[];
  tag: string;
  applies: When;
}
export interface Fastener {
  id: string;
  label: string;
  customer_label: string;
  /** N·m; equal: one target. Missing: by hand. */
  lower?: number;
  upper?: number;
  note?: string;
  tag: string;
  applies: When;
}
export interface Check {
  id: string;
  label: string;
  customer_label?: string;
  words: string;
  stop_ride: boolean;
  tag: string;
  applies: When;
}
export interface Step {
  id: string;
  label: string;
  words: string;
  stage: string;
  kinds: string[];
  hard: string[];
  soft: string[];
  parts: string[];
  quantities: string[];
  fasteners: string[];
  checks: string[];
  also_quantities?: string[];
  also_fasteners?: string[];
  also_shifts?: ("rear" | "front")[];
  cautions: string[];
  tag: string;
  applies: When;
}
export interface Named {
  id: string;
  label: string;
  tag?: string;
  applies?: When;
}
export interface Symptom extends Named {
  code: string;
  outcomes: string[];
}
export interface Sound extends Named {
  plural: string;
  symptom?: string;
}
export interface Cause extends Named {
  likely: string[];
  sometimes: string[];
  rarely: string[];
  changes: { quantity?: string; needed?: string; direction: string }[];
  noise_period?: string;
  events?: string[];
  prior: number;
  applies: When;
}
export interface Caution {
  id: string;
  text: string;
  where: string[];
  tag: string;
  applies?: When;
}

/** Beyond it a slip of the pen. */
export interface Limit extends Named {
  unit?: string;
  highest: number;
}

export interface Catalogue {
  version: string;
  units: Unit[];
  quantities: Quantity[];
  pairs: Pair[];
  adjusters: Adjuster[];
  fasteners: Fastener[];
  checks: Check[];
  parts: Named[];
  steps: Step[];
  symptoms: Symptom[];
  /** Each with two letters for where its word does not fit. */
  outcomes: (Named & { code?: string })[];
  sounds: Sound[];
  whens: Named[];
  events: Named[];
  causes: Cause[];
  cautions: Caution[];
  /** Not known to an older service. */
  limits?: Limit[];
}

/** The first band whose conditions hold; null: nothing to judge by. */
export function resolveBand(bands: readonly Band[], of: Facts): Band | null {
  const found = bands.find((band) => applies(band.when ?? {}, of));
  return found && ((found.lower ?? null) !== null || (found.upper ?? null) !== null) ? found : null;
}

/** The band that judges a quantity on this bike; a chain's is its size, where the shop has no band of its own. */
export function bandFor(catalogue: Catalogue, quantity: string, of: Facts, train?: Drivetrain): Band | null {
  const row = catalogue.quantities.find((row) => row.id === quantity);
  if (train && row?.band_from === "chain_size" && !row.bands.length) return chainSize(train);
  return resolveBand(row?.bands ?? [], of);
}

/** Exactly the links that the drivetrain calls for, as the service sizes it; null where the bike's facts do not tell. */
function chainSize({ rings, cogs, chainstay_mm }: Drivetrain): Band | null {
  // Only on a double is it known how many links more.
  if (chainstay_mm == null || new Set(rings).size !== 2) return null;
  try {
    const links = linksToCut(linksOver(Math.max(...rings), Math.max(...cogs), chainstay_mm), ALLOWANCE_LINKS);
    return { lower: links, upper: links, target: links, tag: "computed" };
  } catch {
    return null;
  }
}

/** A value in another unit of the same dimension, rounded once. Throws for units that do not measure the same. */
export function toUnit(catalogue: Catalogue, value: number, unit: string, wanted: string): number {
  const [from, to] = [unit, wanted].map((id) => catalogue.units.find((row) => row.id === id));
  if (!from || !to || from.dimension !== to.dimension) throw new Error(`${unit} cannot be given in ${wanted}.`);
  return convert(value, parseFactor(from.factor), parseFactor(to.factor));
}
