/** What to do with a hanger measurement, in words for the mechanic (common practice). */

export const NO_DIRECTION = "The bend is too small for this measurement to tell its direction.";
const DISAGREE =
  "The readings do not agree with one another: measure again. A loose axle, play in the gauge or another spot of the rim does this.";
const NOTHING_SPARE = "Three readings leave nothing to check them by: a fourth is worth taking.";

/** A clock position to the nearest half hour: 12, 1:30, 4. */
export function clockWords(clock: number): string {
  const halves = ((Math.round(clock * 2) % 24) + 24) % 24;
  const hour = Math.floor(halves / 2) || 12;
  return halves % 2 ? `${hour}:30` : `${hour}`;
}

/** Where to bring the arm in or out, by how much (mm), or why not to. */
export function advice(steepestClock: number | null, amplitudeMm: number, agrees: boolean | null): string {
  if (agrees === false) return DISAGREE;
  const words = steepestClock === null
    ? `${NO_DIRECTION} Nothing to bend back by it.`
    : `At ${clockWords(steepestClock)} bring the arm in by ${amplitudeMm.toFixed(1)} mm, or at ` +
      `${clockWords(steepestClock + 6)} out by as much. A little at a time, then measure again: a hanger can break when it is bent back.`;
  return agrees ? words : `${words} ${NOTHING_SPARE}`;
}

/** Why two opposite positions do not give the deviation; clock is the first of them, 0 to below 6. */
export function oneDirection(clock: number): string {
  const line = `${clockWords(clock)} to ${clockWords(clock + 6)}`;
  return `Two opposite positions tell the bend from ${line} only: read ${clockWords(clock + 3)} and ${clockWords(clock + 9)} as well.`;
}

/** Advice from two opposite positions: what they tell, and what is still missing. */
export function axisAdvice(clock: number, axisMm: number, uAxisMm: number, agrees: boolean | null): string {
  if (agrees === false) return DISAGREE;
  const [out, inward] = axisMm > 0 ? [clock, clock + 6] : [clock + 6, clock];
  const told = Math.abs(axisMm) <= 1.96 * uAxisMm || axisMm === 0
    ? "In this direction no bend can be told."
    : `The tip stands ${Math.abs(axisMm).toFixed(1)} mm farther out at ${clockWords(out)} than at ${clockWords(inward)}.`;
  return `${told} ${oneDirection(clock)}`;
}
