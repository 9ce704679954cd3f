/** Chain and sprockets. Lengths in mm. */
import { CannotCompute } from "./errors";

/** ISO 606, ISO 9633. */
export const PITCH_MM = 12.7;

/** Radius of the circle through the chain's pins on a sprocket: p / (2 sin(pi / z)), ISO 606. */
export function pitchRadius(teeth: number): number {
  if (!(teeth >= 5)) throw new CannotCompute("A sprocket has five teeth at least.");
  return PITCH_MM / (2 * Math.sin(Math.PI / teeth));
}
