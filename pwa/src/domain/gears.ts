/** The gear table: ratio, development, chain angle and how often each part turns. */
import type { Gear } from "../nouns";
import { CannotCompute } from "./errors";

/** Where rings and cogs lie, in mm from the bike's middle plane; chainline is the middle of the rings. */
export interface Lines {
  chainline_mm?: number | null | undefined;
  ring_spacing_mm?: number | null | undefined;
  cassette_line_mm?: number | null | undefined;
  cog_pitch_mm?: number | null | undefined;
  chainstay_mm?: number | null | undefined;
}

export type Part = "crank" | "pedal_strokes" | "wheel" | "chain_loop" | "pulley";
/** Turns of each part for one turn of the crank; parts of unknown size are left out. */
export type Rotations = Partial<Record<Part, number>>;

/** One line of the table. Development in metres a crank turn; the angle is null where a line is not known. */
export interface GearLine extends Gear {
  ratio: number;
  development_m: number;
  chain_angle_deg: number | null;
  rotations: Rotations;
}

/**
 * Turns of each part for one crank turn, as chain and teeth force them: crank 1, pedal strokes 2, wheel ring/cog, chain
 * loop ring/links, pulley ring/teeth (kinematics). Throws CannotCompute for a count that is not above zero.
 */
export function rotations(ring: number, cog: number, chainLinks?: number | null, pulleyTeeth?: number | null): Rotations {
  if ([ring, cog, chainLinks, pulleyTeeth].some((count) => count != null && !(count >= 1))) {
    throw new CannotCompute("Teeth and links are counted from one up.");
  }
  return {
    crank: 1, pedal_strokes: 2, wheel: ring / cog,
    ...(chainLinks != null && { chain_loop: ring / chainLinks }),
    ...(pulleyTeeth != null && { pulley: ring / pulleyTeeth }),
  };
}

/**
 * Every ring with every cog, largest ring and largest cog first. Ratio = ring / cog; development = ratio x rolling
 * circumference / 1000. Throws CannotCompute without rings or cogs, or for a circumference not between 0 and 10 m.
 */
export function gearTable(
  rings: readonly number[], cogs: readonly number[], circumferenceMm: number, lines: Lines = {}, chainLinks?: number | null, pulleyTeeth?: number | null,
): GearLine[] {
  if (!rings.length || !cogs.length) throw new CannotCompute("Rings and cogs are needed for a gear table.");
  if (!(circumferenceMm > 0 && circumferenceMm <= 10_000)) throw new CannotCompute("The rolling circumference must be a length in millimetres.");
  return falling(rings).flatMap((ring) => falling(cogs).map((cog) => ({
    ring, cog, ratio: ring / cog, development_m: ((ring / cog) * circumferenceMm) / 1000,
    chain_angle_deg: chainAngle(rings, cogs, ring, cog, lines), rotations: rotations(ring, cog, chainLinks, pulleyTeeth),
  })));
}

/** Why there is no chain angle, in words; null where everything it needs is known. */
export function missingLines(rings: readonly number[], lines: Lines): string | null {
  const needed: [string, number | null | undefined][] = [
    ["chainline", lines.chainline_mm], ["cassette centre line", lines.cassette_line_mm], ["cog pitch", lines.cog_pitch_mm], ["chainstay", lines.chainstay_mm],
  ];
  if (new Set(rings).size > 1) needed.push(["ring spacing", lines.ring_spacing_mm]);
  const missing = needed.filter(([, length]) => !(length != null && length > 0 && length <= 10_000)).map(([name]) => name);
  return missing.length ? `For the chain angle this is missing: ${missing.join(", ")}.` : null;
}

/**
 * Sideways angle of the chain in degrees: atan((cog line - ring line) / chainstay), positive outboard to the rear. Larger
 * rings and smaller cogs lie farther outboard, at equal spacing about their middle (geometry). null where a line is not known.
 */
export function chainAngle(rings: readonly number[], cogs: readonly number[], ring: number, cog: number, lines: Lines): number | null {
  if (missingLines(rings, lines)) return null;
  const ringLine = lines.chainline_mm! + place(falling(rings).reverse(), ring) * (lines.ring_spacing_mm ?? 0);
  const cogLine = lines.cassette_line_mm! + place(falling(cogs), cog) * lines.cog_pitch_mm!;
  return (Math.atan((cogLine - ringLine) / lines.chainstay_mm!) * 180) / Math.PI;
}

const falling = (teeth: readonly number[]): number[] => [...new Set(teeth)].sort((one, other) => other - one);

/** Places outboard of the middle. */
const place = (fromInboard: readonly number[], teeth: number): number => fromInboard.indexOf(teeth) - (fromInboard.length - 1) / 2;
