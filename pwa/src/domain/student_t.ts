/** Student's t distribution, which JavaScript lacks. */

/** Natural logarithm of the gamma function by Lanczos' approximation (g = 7, nine terms), relative error below 1e-14. */
const LANCZOS = [
  0.99999999999980993, 676.5203681218851, -1259.1392167224028, 771.32342877765313, -176.61502916214059, 12.507343278686905,
  -0.13857109526572012, 9.9843695780195716e-6, 1.5056327351493116e-7,
];

function logGamma(x: number): number {
  const t = x + 6.5;
  const sum = LANCZOS.reduce((total, c, i) => (i === 0 ? c : total + c / (x - 1 + i)), 0);
  return 0.5 * Math.log(2 * Math.PI) + (x - 0.5) * Math.log(t) - t + Math.log(sum);
}

/** Incomplete beta ratio by its continued fraction (Abramowitz and Stegun 26.5.8, worked as DLMF 3.10(iii) says). */
function betaRatio(x: number, a: number, b: number): number {
  if (x <= 0) return 0;
  if (x >= 1) return 1;
  if (x > (a + 1) / (a + b + 2)) return 1 - betaRatio(1 - x, b, a);
  let c = 1;
  let d = 1 / (1 - ((a + b) * x) / (a + 1));
  let fraction = d;
  for (let m = 1; m < 1000; m++) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
    d = 1 / (1 + even * d);
    c = 1 + even / c;
    fraction *= c * d;
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 / (1 + odd * d);
    c = 1 + odd / c;
    fraction *= c * d;
    if (Math.abs(c * d - 1) < 1e-16) break;
  }
  return (Math.exp(a * Math.log(x) + b * Math.log1p(-x) + logGamma(a + b) - logGamma(a) - logGamma(b)) / a) * fraction;
}

/** Chance that Student's t with `freedom` degrees is farther than t from zero, to either side (A&S 26.7.1). */
export const beyond = (t: number, freedom: number): number => betaRatio(freedom / (freedom + t * t), freedom / 2, 0.5);

/** The t within which Student's t lies with this chance, by bisection: 0.95 gives the 97.5 % point. */
export function within(chance: number, freedom: number): number {
  let [low, high] = [0, 2];
  while (beyond(high, freedom) > 1 - chance) high *= 2;
  for (let i = 0; i < 80; i++) {
    const middle = (low + high) / 2;
    if (beyond(middle, freedom) > 1 - chance) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
