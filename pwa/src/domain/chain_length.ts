/** Length of a chain over two sprockets, and the links to cut it to. Lengths in mm. */
import { CannotCompute } from "./errors";

/** ISO 606, ISO 9633. */
export const PITCH_MM = 12.7;
/** One outer and one inner link, for a double; common practice. */
export const ALLOWANCE_LINKS = 2;

/** Radius of the circle through the chain's pins on a sprocket: p / (2 sin(pi / z)), ISO 606. */
export function pitchRadius(teeth: number): number {
  if (!(teeth >= 5)) throw new CannotCompute("A sprocket has five teeth at least.");
  return PITCH_MM / (2 * Math.sin(Math.PI / teeth));
}

/**
 * Length, in links, of a chain tight over two sprockets whose centres are centreMm apart: two tangents and the wraps
 * around the pitch circles (geometry), 2 S / p + z1 (pi + 2 beta) / 2 pi + z2 (pi - 2 beta) / 2 pi with
 * S = root(C2 - (r1 - r2)2) and beta = asin((r1 - r2) / C). Throws CannotCompute where the sprockets would touch.
 */
export function linksOver(ring: number, cog: number, centreMm: number): number {
  const [r1, r2] = [pitchRadius(ring), pitchRadius(cog)];
  if (!(r1 + r2 < centreMm && centreMm <= 10_000)) {
    throw new CannotCompute("The chainstay is too short for these sprockets, or no length at all.");
  }
  const span = Math.sqrt(centreMm ** 2 - (r1 - r2) ** 2);
  const beta = Math.asin((r1 - r2) / centreMm);
  const wrap = ring * (Math.PI + 2 * beta) + cog * (Math.PI - 2 * beta);
  return (2 * span) / PITCH_MM + wrap / (2 * Math.PI);
}

/** The next even number of links, and the allowance. A hair of rounding must not cost two links. */
export const linksToCut = (exact: number, allowance: number): number => 2 * Math.ceil(exact / 2 - 1e-9) + allowance;
