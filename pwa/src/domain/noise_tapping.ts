/** The period of a noise from the times at which somebody tapped along with it. Times and periods in milliseconds. */
import { CannotCompute } from "./errors";
import { leastSquares } from "./least_squares";
import { within } from "./student_t";

const FEWEST_TAPS = 4;
export const MOST_TAPS = 500;
export const LONGEST_MS = 600_000;
/** From memory: nobody taps along faster than this. */
export const SHORTEST_PERIOD_MS = 250;
/** Taps from which a steady change of tempo is fitted too. */
const DRIFT_FROM = 8;
/** Taps over which no tempo is steady. */
const LONG = 20;
/** A tap that follows within this share of the usual interval is the finger bouncing. */
const DOUBLE = 0.35;
/** Scatter of a person's taps; from memory. */
const HUMAN_MS = 25;
/** A phone's clock is no better. */
const FLOOR_MS = 1;

/** Mean period over the tapping, its standard uncertainty, degrees of freedom and 95 % interval. */
export interface Tapping {
  period_ms: number;
  u_period_ms: number;
  freedom: number;
  interval_ms: [number, number];
  start_ms: number;
  end_ms: number;
  taps: number;
}

/**
 * Period by least squares of time on index, where the index skips taps that were missed.
 *
 * For n taps without a gap its standard error is s root(12 / (n (n2 - 1))), s from the residuals (variance of a regression
 * slope, Draper and Smith, ch. 1), the interval by Student's t. From eight taps on a steady change of tempo is fitted
 * beside it, which leaves that error as it is and takes the change out of s. Where the tempo wanders (the residuals of
 * neighbours go together), and over twenty taps or more, only the first and the last tap count: that is wider, and no
 * wandering can bias it. Throws CannotCompute for fewer than four taps, times out of order, and periods under 250 ms.
 */
export function tappedPeriod(tapsMs: readonly number[]): Tapping {
  const taps = checked(tapsMs);
  const times = taps.map((time) => time - taps[0]!);
  const index = indices(times);
  const span = index.at(-1)! - index[0]!;
  const x = index.map((i) => (i - (index[0]! + index.at(-1)!) / 2) / span);
  const columns = [x.map(() => 1), x, ...(x.length >= DRIFT_FROM ? [x.map((value) => value ** 2)] : [])];
  const found = leastSquares(columns, times)!;
  const left = times.map((time, k) => time - columns.reduce((sum, column, j) => sum + column[k]! * found.coefficients[j]!, 0));
  let freedom = times.length - columns.length;
  const scatter = Math.max(squares(left) / freedom, FLOOR_MS ** 2);
  let [period, u] = [found.coefficients[1]! / span, Math.sqrt(scatter * found.inverse[1]![1]!) / span];
  if (times.length >= LONG || wanders(left)) [period, u, freedom] = endToEnd(times, index);
  if (period < SHORTEST_PERIOD_MS) throw new CannotCompute("Too fast to tap along: count the noises in ten pedal turns instead.");
  const half = within(0.95, freedom) * u;
  return {
    period_ms: period, u_period_ms: u, freedom, interval_ms: [Math.max(0, period - half), period + half],
    start_ms: taps[0]!, end_ms: taps.at(-1)!, taps: taps.length,
  };
}

const squares = (values: readonly number[]): number => values.reduce((sum, value) => sum + value * value, 0);

/** The times without bounces, refused where they are too few or make no sense. */
function checked(times: readonly number[]): number[] {
  if (times.some((time) => !(Math.abs(time) <= 1e13))) throw new CannotCompute("Tap times must be ordinary numbers of milliseconds.");
  if (times.length > MOST_TAPS || (times.length && Math.max(...times) - Math.min(...times) > LONGEST_MS)) {
    throw new CannotCompute(`More than ${MOST_TAPS} taps or ten minutes: start again.`);
  }
  const steps = stepsOf(times);
  if (steps.some((step) => step < 0)) throw new CannotCompute("The taps are not in the order of time.");
  const moving = steps.filter((step) => step > 0);
  // A typical interval between taps, to know a bounce by.
  const usual = moving.length ? percentile(moving, 35) : null;
  const kept = times.slice(0, 1);
  for (const time of times.slice(1)) if (usual !== null && time - kept.at(-1)! > DOUBLE * usual) kept.push(time);
  if (kept.length < FEWEST_TAPS) throw new CannotCompute("Tap along four times at least; twelve tell much more.");
  return kept;
}

const stepsOf = (times: readonly number[]): number[] => times.slice(1).map((time, i) => time - times[i]!);

/** Linear between the neighbours in order (Hyndman and Fan's seventh definition). */
function percentile(values: readonly number[], percent: number): number {
  const sorted = [...values].sort((one, other) => one - other);
  const at = ((sorted.length - 1) * percent) / 100;
  const low = Math.floor(at);
  return sorted[low]! + (at - low) * ((sorted[low + 1] ?? sorted[low]!) - sorted[low]!);
}

/**
 * Which noise each tap belongs to, counted from 0: each interval is so many periods, one at least. Tried from several
 * intervals as the first guess; the one that leaves the least scatter for its period is kept, so that neither a tap that
 * came early nor one that was missed decides, and half the period never wins.
 */
function indices(times: readonly number[]): number[] {
  const steps = stepsOf(times);
  const tried = [0, 15, 35, 50].map((percent) => counted(times, steps, percentile(steps, percent)));
  return tried.reduce((best, index) => (scatterForPeriod(times, index) < scatterForPeriod(times, best) ? index : best));
}

function counted(times: readonly number[], steps: readonly number[], guess: number): number[] {
  let [period, index]: [number, number[]] = [guess, []];
  for (let pass = 0; pass < 5; pass++) {
    let count = 0;
    const found = [0, ...steps.map((step) => (count += Math.max(1, halfToEven(step / period))))];
    if (index.length && found.every((i, k) => i === index[k])) break;
    index = found;
    period = straight(times, index).slope;
  }
  return index;
}

/** The nearest whole number, a half to the even one, as the service rounds. */
function halfToEven(value: number): number {
  const low = Math.floor(value);
  if (value - low === 0.5) return low % 2 ? low + 1 : low;
  return Math.round(value);
}

function scatterForPeriod(times: readonly number[], index: readonly number[]): number {
  const { slope, left } = straight(times, index);
  return (squares(left) / (times.length - 2) + HUMAN_MS ** 2) / slope ** 2;
}

/** The straight line through times on index: its slope and what it leaves. */
function straight(times: readonly number[], index: readonly number[]): { slope: number; left: number[] } {
  const n = times.length;
  const [meanIndex, meanTime] = [index, times].map((values) => values.reduce((sum, value) => sum + value, 0) / n) as [number, number];
  const off = index.map((i) => i - meanIndex);
  const slope = off.reduce((sum, d, k) => sum + d * times[k]!, 0) / squares(off);
  return { slope, left: times.map((time, k) => time - meanTime - slope * off[k]!) };
}

/** Whether neighbouring residuals go together more than chance lets them (lag-one correlation over its standard error above 1). */
function wanders(left: readonly number[]): boolean {
  const total = squares(left);
  if (left.length < DRIFT_FROM || total <= left.length * FLOOR_MS ** 2) return false;
  const together = left.slice(1).reduce((sum, value, k) => sum + value * left[k]!, 0);
  return (together / total) * Math.sqrt(left.length) > 1;
}

/**
 * Period from the first to the last tap, which no wandering in between can bias, with its error and freedom. The taps'
 * scatter comes from each tap against the line through its two neighbours; those overlap, which leaves about half as many
 * degrees of freedom.
 */
function endToEnd(times: readonly number[], index: readonly number[]): [number, number, number] {
  const inner = times.length - 2;
  let sum = 0;
  for (let k = 1; k <= inner; k++) {
    const share = (index[k]! - index[k - 1]!) / (index[k + 1]! - index[k - 1]!);
    const off = times[k]! - (1 - share) * times[k - 1]! - share * times[k + 1]!;
    sum += off ** 2 / (1 + (1 - share) ** 2 + share ** 2);
  }
  const scatter = Math.max(sum / inner, FLOOR_MS ** 2);
  const span = index.at(-1)! - index[0]!;
  return [(times.at(-1)! - times[0]!) / span, Math.sqrt(2 * scatter) / span, inner / 1.944];
}
