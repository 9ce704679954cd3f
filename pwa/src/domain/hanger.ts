/**
 * The derailleur hanger: deviation, tilt and direction from gauge-tip gaps at clock positions of the rim.
 *
 * Model: gap = c + a cos(theta) + b sin(theta), theta = clock x 30 degrees, seen from the drive side, 12 up and 3 forward,
 * fitted by ordinary least squares (Draper and Smith, Applied Regression Analysis, ch. 1 to 3). The gap is from the rim
 * out to the tip, so a above zero is a lower end bent in. All lengths in mm, angles in degrees.
 */
import type { Tip } from "../nouns";
import { chiSquareExceededBy } from "./chi_square";
import { NO_JUDGEMENT, verdictOf, type Judgement, type Limits } from "./conformity";
import { CannotCompute } from "./errors";
import { clockOf, directionInterval } from "./hanger_direction";
import { advice, axisAdvice, NO_DIRECTION, oneDirection } from "./hanger_words";
import { leastSquares, type Fit } from "./least_squares";
import { chanceShorter, interval } from "./vector_length";

/** One careful reading with an alignment gauge; from memory. */
export const DEFAULT_U_MM = 0.3;
/** Root of the 95 % point of chi-square with two degrees of freedom. */
const DIRECTION_FROM = 2.45;
const LARGEST_GAP_MM = 1000;
const TILL_EXACT_MM = 1e-9;

export type Covariance = readonly [readonly [number, number], readonly [number, number]];

/** What the tips say. Readings at two opposite positions only give `axis_mm` and leave the rest null. */
export interface HangerFit {
  a: number | null;
  b: number | null;
  c: number;
  covariance: Covariance | null;
  radius_mm: number;
  u_mm: number;
  deviation_mm: number | null;
  u_deviation_mm: number | null;
  deviation_interval_mm: [number, number] | null;
  tilt_deg: number | null;
  vertical_mm: number | null;
  fore_aft_mm: number | null;
  steepest_clock: number | null;
  steepest_clock_interval: [number, number] | null;
  correction_mm: number | null;
  residual_mm: number | null;
  /** null where no reading is left to check the others by. */
  agrees: boolean | null;
  axis_clock: number | null;
  axis_mm: number | null;
  u_axis_mm: number | null;
  why_not: string | null;
  advice: string;
}

const TOO_CLOSE = "These clock positions lie too close together: spread them round the rim.";

/**
 * Fits the tips' gaps, read at `radiusMm` from the axle with standard uncertainty `uMm` each. The interval of the
 * deviation covers at zero bend too; the direction is given only where the amplitude is above 2.45 of its uncertainty.
 * Throws CannotCompute for fewer than three distinct positions that are not two opposite ones, for positions too close
 * together, and for input that is not a plain number.
 */
export function fit(tips: readonly Tip[], radiusMm: number, uMm: number = DEFAULT_U_MM): HangerFit {
  check(tips, radiusMm, uMm);
  const u = uMm < TILL_EXACT_MM ? 0 : uMm;
  const clocks = [...new Set(tips.map((tip) => (Math.round((tip.clock % 12) * 1000) / 1000) % 12))].sort((x, y) => x - y);
  if (clocks.length === 2 && Math.abs(clocks[1]! - clocks[0]! - 6) < 1e-8) return fitAxis(tips, clocks[0]!, radiusMm, u);
  if (clocks.length < 3) {
    throw new CannotCompute("Read the gap at three different clock positions at least; four are better: 12, 3, 6, 9.");
  }
  const theta = tips.map((tip) => (tip.clock * Math.PI) / 6);
  const found = leastSquares([theta.map(() => 1), theta.map(Math.cos), theta.map(Math.sin)], tips.map((tip) => tip.gap_mm));
  if (!found || !(largest(partOf(found, 1)) < 100)) throw new CannotCompute(TOO_CLOSE);
  return answer(found, tips.length - 3, radiusMm, u);
}

/**
 * Judges the deviation by its own distribution, since it is never negative and biased upward near zero: p is the
 * confidence that the true deviation lies in the band. A lower limit of zero is no limit.
 */
export function judgeDeviation(found: HangerFit, band: Limits | null): Judgement {
  const [lower, upper] = [band?.lower ?? null, band?.upper ?? null];
  if ((lower === null && upper === null) || found.deviation_mm === null || found.covariance === null) return NO_JUDGEMENT;
  const error = 2 * Math.sqrt(largest(found.covariance));
  if (error === 0) {
    return verdictOf((lower ?? 0) <= found.deviation_mm && found.deviation_mm <= (upper ?? Infinity) ? 1 : 0);
  }
  const under = upper === null ? 1 : chanceShorter(found.deviation_mm, upper, error);
  return verdictOf(under - (lower !== null && lower > 0 ? chanceShorter(found.deviation_mm, lower, error) : 0));
}

function check(tips: readonly Tip[], radiusMm: number, uMm: number): void {
  for (const { clock, gap_mm } of tips) {
    if (!(clock >= 0 && clock <= 12)) throw new CannotCompute("Clock positions go from 1 to 12.");
    if (!(Math.abs(gap_mm) <= LARGEST_GAP_MM)) {
      throw new CannotCompute("A gap must be a number of millimetres that fits between rim and gauge.");
    }
  }
  if (!(radiusMm >= 10 && radiusMm <= 1000)) {
    throw new CannotCompute("The radius at which the gauge touches must be between 10 and 1000 mm.");
  }
  if (!(uMm >= 0 && uMm <= LARGEST_GAP_MM)) {
    throw new CannotCompute("The uncertainty of a reading must be a number of millimetres from 0 up.");
  }
}

function partOf({ inverse }: Fit, factor: number): Covariance {
  return [[inverse[1]![1]! * factor, inverse[1]![2]! * factor], [inverse[2]![1]! * factor, inverse[2]![2]! * factor]];
}

/** The larger eigenvalue of a symmetric matrix: the variance in its least certain direction. */
function largest([[aa, ab], [, bb]]: Covariance): number {
  return Math.max(0, (aa + bb) / 2 + Math.hypot((aa - bb) / 2, ab));
}

/** Residual against its 99 % point, u root(chi2 / freedom). */
function agrees(residual: number | null, freedom: number, u: number): boolean | null {
  return residual === null ? null : residual <= u * Math.sqrt(chiSquareExceededBy(0.01, freedom) / freedom) + TILL_EXACT_MM;
}

function answer(found: Fit, freedom: number, radiusMm: number, u: number): HangerFit {
  const [c, a, b] = found.coefficients as [number, number, number];
  const covariance = partOf(found, u * u);
  const amplitude = Math.hypot(a, b);
  const error = Math.sqrt(largest(covariance));
  const pointed = amplitude > TILL_EXACT_MM;
  const [[aa, ab], [, bb]] = covariance;
  const uAmplitude = pointed ? Math.sqrt(Math.max(0, a * a * aa + 2 * a * b * ab + b * b * bb)) / amplitude : error;
  let length: [number, number] | undefined;
  const clear = pointed && amplitude > DIRECTION_FROM * uAmplitude;
  const agree = agrees(found.residual, freedom, u);
  const steepest = clear ? clockOf(a, b) : null;
  return {
    a, b, c, covariance, radius_mm: radiusMm, u_mm: u,
    deviation_mm: 2 * amplitude, u_deviation_mm: 2 * uAmplitude,
    // Worked out once it is asked for: it takes a thousand times as long as the rest.
    get deviation_interval_mm(): [number, number] {
      length ??= error ? interval(amplitude, error) : [amplitude, amplitude];
      return [2 * length[0], 2 * length[1]];
    },
    tilt_deg: (Math.atan2(amplitude, radiusMm) * 180) / Math.PI, vertical_mm: 2 * a, fore_aft_mm: 2 * b,
    steepest_clock: steepest, steepest_clock_interval: clear ? directionInterval(a, b, covariance) : null,
    correction_mm: amplitude, residual_mm: found.residual, agrees: agree,
    axis_clock: null, axis_mm: null, u_axis_mm: null,
    why_not: clear ? null : NO_DIRECTION, advice: advice(steepest, amplitude, agree),
  };
}

/** Two opposite positions: the part of the bend along the line through them, and nothing else. */
function fitAxis(tips: readonly Tip[], clock: number, radiusMm: number, u: number): HangerFit {
  const side = tips.map((tip) => (Math.abs((tip.clock % 12) - clock) < 0.002 ? 1 : -1));
  const found = leastSquares([side.map(() => 1), side], tips.map((tip) => tip.gap_mm));
  if (!found) throw new CannotCompute(TOO_CLOSE);
  const [axis, uAxis] = [2 * found.coefficients[1]!, 2 * u * Math.sqrt(found.inverse[1]![1]!)];
  const agree = agrees(found.residual, tips.length - 2, u);
  return {
    a: null, b: null, c: found.coefficients[0]!, covariance: null, radius_mm: radiusMm, u_mm: u,
    deviation_mm: null, u_deviation_mm: null, deviation_interval_mm: null, tilt_deg: null,
    vertical_mm: clock === 0 ? axis : null, fore_aft_mm: clock === 3 ? axis : null,
    steepest_clock: null, steepest_clock_interval: null, correction_mm: null, residual_mm: found.residual, agrees: agree,
    axis_clock: clock || 12, axis_mm: axis, u_axis_mm: uAxis,
    why_not: oneDirection(clock), advice: axisAdvice(clock, axis, uAxis, agree),
  };
}
