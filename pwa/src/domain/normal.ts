/** The normal distribution, which JavaScript lacks. */

const SERIES_TO = 3;

/**
 * Complementary error function, absolute error below 1e-15. Below 3 by the series of all positive terms (Abramowitz and
 * Stegun 7.1.6), beyond by the continued fraction 7.1.14, worked from its tail.
 */
export function erfc(x: number): number {
  if (x < 0) return 2 - erfc(-x);
  if (x === Infinity) return 0;
  if (x < SERIES_TO) {
    let term = x;
    let sum = x;
    for (let n = 1; term > sum * 1e-18; n++) {
      term *= (2 * x * x) / (2 * n + 1);
      sum += term;
    }
    return 1 - (2 / Math.sqrt(Math.PI)) * Math.exp(-x * x) * sum;
  }
  let tail = x;
  for (let n = 60; n >= 1; n--) tail = x + n / 2 / tail;
  return Math.exp(-x * x) / Math.sqrt(Math.PI) / tail;
}

/** Chance that a standard normal value is at most z. */
export const phi = (z: number): number => 0.5 * erfc(-z / Math.SQRT2);
