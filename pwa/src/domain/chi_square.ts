/** The chi-square distribution, as far as the agreement of readings needs it. */
import { phi } from "./normal";

/** Chance that chi-square with `freedom` degrees is above x (Abramowitz and Stegun 26.4.4 and 26.4.5). */
export function chiSquareAbove(x: number, freedom: number): number {
  const odd = freedom % 2 === 1;
  let term = odd ? Math.sqrt((2 * x) / Math.PI) * Math.exp(-x / 2) : Math.exp(-x / 2);
  let above = odd ? 2 * phi(-Math.sqrt(x)) : 0;
  for (let k = odd ? 3 : 2; k <= freedom; k += 2) {
    above += term;
    term *= x / k;
  }
  return above;
}

/** The value that chi-square with `freedom` degrees exceeds with chance p, by bisection. */
export function chiSquareExceededBy(p: number, freedom: number): number {
  let [low, high] = [0, freedom + 10];
  while (chiSquareAbove(high, freedom) > p) high *= 2;
  for (let i = 0; i < 100; i++) {
    const middle = (low + high) / 2;
    if (chiSquareAbove(middle, freedom) > p) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
