/**
 * The true length of a vector in a plane, seen through normal error of the same size in every direction. The square of
 * the observed length, over the error's variance, follows the noncentral chi-square distribution with two degrees of
 * freedom (Johnson, Kotz and Balakrishnan, Continuous Univariate Distributions, vol. 2, ch. 29).
 */
import { phi } from "./normal";

// Beyond this ratio of length to error the bias is under a ten-thousandth of the error: plain normal error will do.
const NORMAL_FROM = 1e4;
const Z95 = 1.6448536269514722;
const Z975 = 1.959963984540054;
/** Normal density is below 1e-18 of its peak from here on. */
const FAR = 9.2;
const MOST_STEPS = 100;
const AS_FINE_AS = 1e-14;

const density = (z: number) => Math.exp((-z * z) / 2) / Math.sqrt(2 * Math.PI);

/**
 * Chance of observing a length of at most `seen` where the true one is `true_`, both in units of the error: the noncentral
 * chi-square distribution function at seen² with two degrees of freedom and noncentrality true_². The normal density over
 * a disc, in strips across the true direction, each at seen · sin t; the strips make up a smooth periodic function, for
 * which evenly spaced points are as good as any rule.
 */
export function chanceSeen(seen: number, true_: number): number {
  if (seen <= 0) return 0;
  if (true_ === 0) return -Math.expm1((-seen * seen) / 2);
  if (seen - true_ > FAR) return 1;
  if (true_ - seen > FAR) return 0;
  const points = 64 + 8 * Math.ceil(seen);
  const step = Math.PI / points;
  const first = Math.max(1, Math.floor((Math.asin(Math.max(-1, (true_ - FAR) / seen)) + Math.PI / 2) / step));
  let sum = 0;
  for (let k = first; k < points; k++) {
    const t = k * step - Math.PI / 2;
    const across = seen * Math.cos(t);
    sum += density(seen * Math.sin(t) - true_) * (1 - 2 * phi(-across)) * across;
  }
  return Math.min(1, sum * step);
}

/** Confidence, from 0 to 1, that the true length is at most `limit`; all three in one unit, error above zero. */
export function chanceShorter(observed: number, limit: number, error: number): number {
  if (limit < 0) return 0;
  const [seen, true_] = [observed / error, limit / error];
  if (Math.max(seen, true_) > NORMAL_FROM) return phi(true_ - seen);
  return 1 - chanceSeen(seen, true_);
}

/**
 * The 95 % interval of the true length. It inverts a test that errs in exactly 5 % at every true length: up to 1.645
 * errors, where a length cannot be told from none, all of it lies in the upper tail; beyond, half in each tail.
 */
export function interval(observed: number, error: number): [number, number] {
  const turn = Z95 * error;
  let lower = lengthAt(0.95, Z95, observed, error);
  if (lower > turn) lower = Math.max(turn, lengthAt(0.975, Z975, observed, error));
  return [lower, Math.max(turn, lengthAt(0.025, -Z975, observed, error))];
}

/** The true length under which a length up to `observed` has probability p; zero where even that is too long. */
function lengthAt(p: number, z: number, observed: number, error: number): number {
  const seen = observed / error;
  if (seen > NORMAL_FROM) return Math.max(0, observed - z * error);
  if (chanceSeen(seen, 0) <= p) return 0;
  return crossing((length) => chanceSeen(seen, length) - p, Math.max(0, seen - FAR), seen + FAR) * error;
}

/**
 * Where a falling function is zero between two places on either side of it: regula falsi, the end that stays counting
 * half (Dowell and Jarratt 1971, "Illinois"). A bisection would ask five times as often, each time for an integral.
 */
function crossing(f: (x: number) => number, low: number, high: number): number {
  let [above, below] = [f(low), f(high)];
  let moved = 0;
  for (let i = 0; i < MOST_STEPS && above > 0 && below < 0 && high - low > AS_FINE_AS * high; i++) {
    const x = (low * below - high * above) / (below - above);
    const at = f(x);
    if (at === 0) return x;
    if (at > 0) {
      [low, above] = [x, at];
      if (moved > 0) below /= 2;
      moved = 1;
    } else {
      [high, below] = [x, at];
      if (moved < 0) above /= 2;
      moved = -1;
    }
  }
  return above > 0 ? (low * below - high * above) / (below - above) : low;
}
