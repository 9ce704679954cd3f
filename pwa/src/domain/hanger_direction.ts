/** Where the gauge tip stands farthest out, as a clock position with its 95 % interval. */
import type { Covariance } from "./hanger";

const Z2 = 1.959963984540054 ** 2;

/** Clock position in (0, 12] of the direction with components a (toward 12) and b (toward 3). */
export function clockOf(a: number, b: number): number {
  const clock = (Math.atan2(b, a) * 6) / Math.PI;
  return clock > 0 ? clock : clock + 12;
}

/**
 * The 95 % interval of the direction of (a, b), going round from the first to the second: all directions from which the
 * fitted vector's sideways part differs by less than 1.96 of its standard uncertainty (Fieller 1954, Journal of the Royal
 * Statistical Society B 16, 175-185).
 */
export function directionInterval(a: number, b: number, covariance: Covariance): [number, number] {
  const [[aa, ab], [, bb]] = covariance;
  const [m00, m01, m11] = [a * a - Z2 * aa, a * b - Z2 * ab, b * b - Z2 * bb];
  // The sideways part squared less its bound is mean + swing cos(2 phi + turn) over the direction phi.
  const [mean, halfDifference] = [(m00 + m11) / 2, (m11 - m00) / 2];
  const [swing, turn] = [Math.hypot(halfDifference, m01), Math.atan2(m01, halfDifference)];
  let middle = (Math.PI - turn) / 2;
  const width = Math.acos(Math.max(-1, Math.min(1, mean / swing))) / 2;
  if (a * Math.cos(middle) + b * Math.sin(middle) < 0) middle += Math.PI;
  return [middle - width, middle + width].map((angle) => clockOf(Math.cos(angle), Math.sin(angle))) as [number, number];
}
