/** The fine position of a derailleur: what steps or barrel turns amount to at the guide pulley, in mm. Positive is inboard. */
import { CannotCompute } from "./errors";

/** Thread M5 x 0.8: standard, ISO 261; that barrel adjusters have it: from memory. */
export const BARREL_PITCH_MM = 0.8;

/** Steps of an electronic derailleur, stepMm each. */
export const bySteps = (steps: number, stepMm: number): number => move(steps, stepMm);

/** Turns of a barrel adjuster: turns x 0.8 mm of cable x mm at the pulley for a mm of cable. */
export const byBarrelTurns = (turns: number, actuationRatio: number): number => move(turns, BARREL_PITCH_MM * actuationRatio);

function move(amount: number, eachMm: number): number {
  if (!Number.isFinite(amount) || Math.abs(amount) > 1e6) throw new CannotCompute("The amount must be an ordinary number of steps or turns.");
  if (!(eachMm > 0 && eachMm <= 100)) throw new CannotCompute("Step and actuation ratio must be above zero.");
  return amount * eachMm;
}
