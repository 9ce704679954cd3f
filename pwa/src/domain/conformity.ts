/**
 * Verdicts: is a value inside its tolerance band, given what its measuring leaves open?
 *
 * Sources: JCGM 106:2012, clause 7 (conformance probability); ILAC-G8:09/2019 and ISO 14253-1:2017 (guard band of
 * 1.645 u for a one-sided band, which a probability of 0.95 amounts to).
 */
import { CannotCompute } from "./errors";
import { phi } from "./normal";

const INSIDE_FROM = 0.95;
const OUTSIDE_TO = 0.05;
/** Standard uncertainties from a limit to a value at 0.95; half the width of a whisker. */
export const GUARD = 1.645;

export type Verdict = "inside" | "borderline" | "outside" | "none";

/** Limits in the unit of the quantity; one that is missing or null is open. */
export interface Limits {
  lower?: number | null;
  upper?: number | null;
}

export interface Judgement {
  verdict: Verdict;
  /** Probability that the true value lies in the band. */
  p_inside: number | null;
}

export const NO_JUDGEMENT: Judgement = { verdict: "none", p_inside: null };

const lowerOf = (band: Limits) => band.lower ?? -Infinity;
const upperOf = (band: Limits) => band.upper ?? Infinity;
const isOpen = (band: Limits | null): band is null => band === null || ((band.lower ?? null) === null && (band.upper ?? null) === null);

/** The judgement for a conformance probability between 0 and 1. */
export function verdictOf(pInside: number): Judgement {
  const p = Math.min(1, Math.max(0, pInside));
  if (p >= INSIDE_FROM) return { verdict: "inside", p_inside: p };
  return { verdict: p <= OUTSIDE_TO ? "outside" : "borderline", p_inside: p };
}

/**
 * Judges a value with standard uncertainty u, both in the band's unit: p = Phi((upper - y)/u) - Phi((lower - y)/u). With
 * u = 0 (a setting that is read out) p is 1 or 0, a value on the limit being inside. Throws CannotCompute for a value
 * that is not finite, a negative u, and limits the wrong way round.
 */
export function judge(value: number, u: number, band: Limits | null): Judgement {
  check(value, u, band);
  if (isOpen(band)) return NO_JUDGEMENT;
  const [lower, upper] = [lowerOf(band), upperOf(band)];
  if (u === 0) return verdictOf(lower <= value && value <= upper ? 1 : 0);
  let [low, high] = [(lower - value) / u, (upper - value) / u];
  // In the upper tail the difference of two numbers near 1 would lose its digits: mirror it to the lower one.
  if (low > 0) [low, high] = [-high, -low];
  return verdictOf(phi(high) - phi(low));
}

/** Judges a go / no-go pair: p is the share of the interval inside the band (a rectangle; JCGM 100:2008, 4.3.7). */
export function judgeInterval(low: number, high: number, band: Limits | null): Judgement {
  check(low, 0, band);
  check(high, 0, band);
  if (low > high) throw new CannotCompute("The lower bound is above the upper one.");
  if (isOpen(band)) return NO_JUDGEMENT;
  if (low === high) return judge(low, 0, band);
  // Halves first: the difference of the largest floats would overflow.
  const overlap = Math.min(high, upperOf(band)) / 2 - Math.max(low, lowerOf(band)) / 2;
  return verdictOf(overlap / (high / 2 - low / 2));
}

function check(value: number, u: number, band: Limits | null): void {
  if (!Number.isFinite(value) || !Number.isFinite(u)) throw new CannotCompute("A value and its uncertainty must be ordinary numbers.");
  if (u < 0) throw new CannotCompute("An uncertainty cannot be negative.");
  if (band && lowerOf(band) > upperOf(band)) throw new CannotCompute("The band's lower limit is above its upper one.");
}
