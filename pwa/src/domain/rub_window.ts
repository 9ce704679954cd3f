/**
 * The rub window: fine steps from the set position to the first noise, inboard and outboard, on several cogs.
 *
 * Its middle on each cog is where the fine position should be. How the middles have come to slope against the cogs' pitch
 * radii since the bike was handed over tells a vertical tilt of the hanger, without taking the derailleur off: a tilt moves
 * the pulley sideways by its depth below the hanger, and the depth grows with the cog. Least squares with known error
 * (Draper and Smith, Applied Regression Analysis, ch. 1); steps positive inboard, lengths in mm, angles in degrees.
 */
import { pitchRadius } from "./chain";
import { chiSquareExceededBy } from "./chi_square";
import { CannotCompute } from "./errors";

export const FEWEST_COGS = 3;
/** Half the interval wider than the tightest hanger band (from memory): the gauge would tell more. */
const TAKE_GAUGE_FROM_MM = 2;
const Z = 1.959963984540054;

export const TAKE_GAUGE = "Take the hanger gauge: these windows leave the tilt open by more than its band is wide.";
export const DISAGREE = "The windows of the cogs do not fit one line: count again, or take the hanger gauge.";
export const NO_TILT = "No tilt of the hanger can be told from these windows.";
export const NOTHING_TO_COMPARE = "A tilt shows against the handed-over windows only: count them at handover.";
export const TOO_FEW_SHARED = "A tilt needs three cogs that were counted at handover too.";

/** Steps from the set position to the first noise on one cog (teeth), inboard and outboard, both counted up. */
export interface CogWindow {
  cog: number;
  in_steps: number;
  out_steps: number;
}

/** Steps from the set position to the window's middle, positive inboard. */
export const centreOf = (window: CogWindow): number => (window.in_steps - window.out_steps) / 2;
/** Steps from noise to noise. */
export const widthOf = (window: CogWindow): number => window.in_steps + window.out_steps;

/** What has come since the handover; every field null, with the reason, where there is nothing to compare with. */
export interface SinceHandover {
  width_change_steps: number | null;
  u_width_change_steps: number | null;
  tilt_deg: number | null;
  u_tilt_deg: number | null;
  tilt_interval_deg: [number, number] | null;
  vertical_mm: number | null;
  u_vertical_mm: number | null;
  agrees: boolean | null;
}

/** Best position, width, and the vertical tilt come since handover (positive: lower end bent in). */
export interface RubWindow extends SinceHandover {
  centre_steps: number;
  u_centre_steps: number;
  width_steps: number;
  u_width_steps: number;
  advice: string;
  why_not: Record<string, string>;
}

const NOTHING: SinceHandover = {
  width_change_steps: null, u_width_change_steps: null, tilt_deg: null, u_tilt_deg: null, tilt_interval_deg: null,
  vertical_mm: null, u_vertical_mm: null, agrees: null,
};

/**
 * Best fine position from at least three cogs, and the hanger's tilt since the handed-over windows.
 *
 * uSteps is the standard uncertainty of one count. The best position is the mean of the middles, the counts being equally
 * uncertain. Tilt = atan(-slope) of the middles' change (mm) on pitch radius (mm), a lower bound since the pulley's gap is
 * larger on small cogs; vertical = 2 radius tan(tilt), 12 minus 6 at the rim. Its 95 % interval takes uSteps as known.
 * `agrees` is false where the changes leave the line beyond their 99 % point. Throws CannotCompute for fewer than three
 * cogs, a window narrower than nothing, or what is no number.
 */
export function rubWindow(cogs: readonly CogWindow[], handedOver: readonly CogWindow[] | null, stepMm: number, radiusMm: number, uSteps: number): RubWindow {
  const now = byCog(cogs);
  if (now.size < FEWEST_COGS) throw new CannotCompute("Count the steps on three cogs at least: a large, a middle and a small one.");
  checkLengths(stepMm, radiusMm, uSteps);
  const best = {
    centre_steps: mean(cogs.map(centreOf)), u_centre_steps: uSteps / Math.sqrt(2 * cogs.length),
    width_steps: mean(cogs.map(widthOf)), u_width_steps: uSteps * Math.sqrt(2 / cogs.length),
  };
  const then = byCog(handedOver ?? []);
  const shared = [...now.keys()].filter((cog) => then.has(cog)).sort((one, other) => one - other);
  if (shared.length < FEWEST_COGS) {
    const reason = then.size ? TOO_FEW_SHARED : NOTHING_TO_COMPARE;
    return { ...best, ...NOTHING, advice: reason, why_not: Object.fromEntries(Object.keys(NOTHING).map((name) => [name, reason])) };
  }
  return { ...best, ...since(now, then, shared, stepMm, radiusMm, uSteps), why_not: {} };
}

type ByCog = Map<number, CogWindow[]>;

/** The windows of each cog; a cog may have been counted more than once. */
function byCog(windows: readonly CogWindow[]): ByCog {
  const found: ByCog = new Map();
  for (const window of windows) {
    if (!(Math.abs(window.in_steps) <= 1000 && Math.abs(window.out_steps) <= 1000)) throw new CannotCompute("Steps must be ordinary numbers.");
    if (widthOf(window) < 0) throw new CannotCompute(`On the cog with ${window.cog} teeth the noise inboard comes before that outboard.`);
    found.set(window.cog, [...(found.get(window.cog) ?? []), window]);
  }
  return found;
}

function checkLengths(stepMm: number, radiusMm: number, uSteps: number): void {
  if (!(stepMm >= 0.001 && stepMm <= 10)) throw new CannotCompute("The size of a step must be given in millimetres.");
  if (!(radiusMm >= 10 && radiusMm <= 1000)) throw new CannotCompute("The radius at the rim must be between 10 and 1000 mm.");
  if (!(uSteps >= 0 && uSteps <= 1000)) throw new CannotCompute("The uncertainty of a count is a number of steps from 0 up.");
}

/** Change of width, and of slope as a tilt, over the cogs counted both times. */
function since(now: ByCog, then: ByCog, shared: readonly number[], stepMm: number, radiusMm: number, uSteps: number): SinceHandover & { advice: string } {
  const change = (part: (window: CogWindow) => number) => shared.map((cog) => mean(now.get(cog)!.map(part)) - mean(then.get(cog)!.map(part)));
  // Share of one count's variance in the change of a cog's middle, half a count from each side each time.
  const share = shared.map((cog) => (1 / now.get(cog)!.length + 1 / then.get(cog)!.length) / 2);
  const { slope, u, agrees } = line(shared.map(pitchRadius), change(centreOf).map((steps) => steps * stepMm), share, uSteps * stepMm);
  const uVertical = 2 * radiusMm * u;
  return {
    width_change_steps: mean(change(widthOf)), u_width_change_steps: (2 * uSteps * Math.sqrt(sum(share))) / shared.length,
    tilt_deg: degrees(Math.atan(-slope)), u_tilt_deg: degrees(u / (1 + slope ** 2)),
    tilt_interval_deg: [degrees(Math.atan(-slope - Z * u)), degrees(Math.atan(-slope + Z * u))],
    vertical_mm: -2 * radiusMm * slope, u_vertical_mm: uVertical, agrees, advice: advice(-slope, u, uVertical, agrees),
  };
}

/** Weighted slope of y on x, its standard uncertainty, and whether y keeps to the line within u root(share). */
function line(x: number[], y: number[], share: number[], u: number): { slope: number; u: number; agrees: boolean } {
  const weight = share.map((s) => 1 / s);
  const weighted = (values: number[]) => sum(values.map((value, i) => weight[i]! * value));
  const off = x.map((value) => value - weighted(x) / sum(weight));
  const spread = weighted(off.map((d) => d * d));
  const slope = weighted(off.map((d, i) => d * y[i]!)) / spread;
  const left = y.map((value, i) => value - weighted(y) / sum(weight) - slope * off[i]!);
  const most = u ** 2 * chiSquareExceededBy(0.01, x.length - 2) + 1e-12;
  return { slope, u: u / Math.sqrt(spread), agrees: weighted(left.map((d) => d * d)) <= most };
}

function advice(tilt: number, uTilt: number, uVerticalMm: number, agrees: boolean): string {
  if (!agrees) return DISAGREE;
  if (Z * uVerticalMm > TAKE_GAUGE_FROM_MM) return TAKE_GAUGE;
  if (Math.abs(tilt) <= Z * uTilt) return NO_TILT;
  return `The lower end of the hanger has been bent ${tilt > 0 ? "in" : "out"} since the handover: check it with the gauge.`;
}

const sum = (values: readonly number[]): number => values.reduce((total, value) => total + value, 0);
const mean = (values: readonly number[]): number => sum(values) / values.length;
const degrees = (radians: number): number => (radians * 180) / Math.PI;
