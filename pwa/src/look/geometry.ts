/**
 * Where things stand on a rule. The limits of a band always lie at 30 and 70 % of the length,
 * so that a value is recognised by its place before it is read. Nothing is ever rescaled to a value:
 * what does not fit on the rule is drawn broken at its end.
 */

export { GUARD } from "../domain/conformity";

export const LOWER_AT = 30;
export const UPPER_AT = 70;
const MOST_LINES = 64;

export interface Anchor { value: number; at: number }

export interface Scale {
  from: Anchor;
  to: Anchor;
  lower: number | null;
  upper: number | null;
  /** A middle that is no limit: the value handed over, of a setting without a band. */
  middle: number | null;
  /** A physical zero inside the rule. */
  zero: boolean;
  full: number | null;
  signed: boolean;
  minor: number;
  major: number;
  /** Words at the ends, low side first. */
  ends: [string, string] | null;
}

export interface ScaleSource {
  lower?: number | null;
  upper?: number | null;
  reference?: number | null;
  span?: number | null;
  plausible: readonly [number, number];
  minor: number;
  major: number;
  signed?: boolean;
  zero?: boolean;
  /** A setting that is read out: without anything to compare with, its middle is zero. */
  setting?: boolean;
  /** The most there can be: stands where an upper limit would. */
  full?: number | null;
  ends?: [string, string] | null;
}

export function scaleOf(s: ScaleSource): Scale {
  let lower = s.lower ?? null;
  let upper = s.upper ?? null;
  let middle: number | null = null;
  let from: Anchor;
  let to: Anchor;
  if (lower !== null && upper !== null && lower === upper) {
    middle = lower;
    lower = upper = null;
  }
  if (lower !== null && upper !== null) {
    from = { value: lower, at: LOWER_AT };
    to = { value: upper, at: UPPER_AT };
  } else if (upper !== null) {
    const start = upper > 0 && (s.zero || s.plausible[0] >= 0) ? 0 : s.plausible[0];
    from = { value: start < upper ? start : upper - s.major, at: 0 };
    to = { value: upper, at: UPPER_AT };
  } else if (lower !== null) {
    from = { value: lower, at: LOWER_AT };
    const top = lower > 0 ? (lower * UPPER_AT) / LOWER_AT : lower + s.major;
    to = { value: s.full ?? top, at: UPPER_AT };
  } else if (middle !== null || s.reference != null || (s.setting && s.signed)) {
    middle = middle ?? s.reference ?? 0;
    const half = s.span || 10 * s.minor;
    from = { value: middle - half, at: 0 };
    to = { value: middle + half, at: 100 };
  } else {
    from = { value: s.plausible[0], at: 0 };
    to = { value: s.plausible[1], at: 100 };
  }
  const scale: Scale = {
    from, to, lower, upper, middle, zero: false, full: s.full ?? null, signed: !!s.signed, ends: s.ends ?? null,
    ...graduation(s.minor, s.major, Math.abs(slope(from, to)) * 100),
  };
  const zeroAt = place(scale, 0);
  scale.zero = middle === null && (s.zero ?? !s.signed) && zeroAt >= -0.01 && zeroAt < 100;
  return scale;
}

function slope(from: Anchor, to: Anchor): number {
  return (to.value - from.value) / (to.at - from.at);
}

/** Coarser lines where the quantity's own would run into each other, always in round steps of its unit. */
function graduation(minor: number, major: number, width: number): { minor: number; major: number } {
  const steps = [minor, major];
  for (let k = 0; k < 6; k++) {
    const base = major * 10 ** k;
    steps.push(base * 2, base * 5, base * 10);
  }
  const first = steps.findIndex((step) => width / step <= MOST_LINES);
  if (first <= 0) return { minor, major };
  const fine = steps[first]!;
  return { minor: fine, major: fine === major ? major * 5 : fine * 5 };
}

/** Percent of the rule at which a value stands; may lie beyond the ends. */
export function place(s: Pick<Scale, "from" | "to">, value: number): number {
  return s.from.at + (value - s.from.value) / slope(s.from, s.to);
}

export function valueAt(s: Pick<Scale, "from" | "to">, percent: number): number {
  return s.from.value + (percent - s.from.at) * slope(s.from, s.to);
}

export function clamp(percent: number): number {
  return percent < 0 ? 0 : percent > 100 ? 100 : percent;
}

/** Lines of the rule: percent, and whether it is a long one. */
export function graduations(s: Scale): { at: number; long: boolean }[] {
  const per = Math.round(s.major / s.minor);
  const first = Math.ceil(valueAt(s, 0) / s.minor - 1e-6);
  const last = Math.floor(valueAt(s, 100) / s.minor + 1e-6);
  const lines = [];
  for (let k = first; k <= last; k++) lines.push({ at: place(s, k * s.minor), long: k % per === 0 });
  return lines;
}

/** Path of all graduations in a box 1000 wide, so that one element draws them at any width. */
export function graduationPath(s: Scale, y: number, short = 4, long = 7): string {
  return graduations(s).map((g) => `M${(g.at * 10).toFixed(1)} ${y}v${g.long ? long : short}`).join("");
}

export interface Mark { at: number; /** −1 and 1: beyond the low or high end, drawn broken. */ off: -1 | 0 | 1 }

export function mark(s: Scale, value: number): Mark {
  const p = place(s, value);
  return { at: clamp(p), off: p < -0.01 ? -1 : p > 100.01 ? 1 : 0 };
}

export interface Whisker { from: number; to: number; fromOpen: boolean; toOpen: boolean }

/** A whisker between two values; an end beyond the rule stays open, without its cap. */
export function whisker(s: Scale, low: number, high: number): Whisker | null {
  const a = place(s, low);
  const b = place(s, high);
  if (b < 0 || a > 100) return null;
  return { from: clamp(a), to: clamp(b), fromOpen: a < 0, toOpen: b > 100 };
}

export function percent(p: number): string {
  return `${Math.round(p * 100) / 100}%`;
}
