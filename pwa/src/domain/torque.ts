/**
 * Torque wrenches: what to set with an adapter, what reaches the fastener, and whether that is in its range. Any unit of
 * torque will do as long as it is one; `_nm` names are newton metres.
 */
import { GUARD, judge, judgeInterval, NO_JUDGEMENT, type Judgement, type Limits } from "./conformity";
import { CannotCompute } from "./errors";

/** ISO 6789:2003, type II class A: permissible deviation by the tool's maximum, over 20 to 100 % of its range. */
const TOLERANCE_ABOVE_10_NM = 4;
const TOLERANCE_TO_10_NM = 6;
const RANGE_FROM = 0.2;
/** Band around a target given as one figure; from memory. */
const SINGLE_FIGURE_PERCENT = 10;
/** No wrench errs by more, even out of its range; from memory. */
const BEYOND_DOUBT_PERCENT = 50;

/**
 * Length from square to the middle of the grip, largest torque, tolerance; smallest torque and the standard uncertainty of
 * what it shows, where its own certificate gives them. Left out where not known.
 */
export interface Wrench {
  length_mm?: number | undefined;
  max_nm?: number | undefined;
  tolerance_percent?: number | undefined;
  min_nm?: number | undefined;
  u_nm?: number | undefined;
}

/** A crowfoot or extension: square to fastener, and its angle to the wrench (0 straight on, 90 square). */
export interface Adapter {
  length_mm: number;
  angle_deg?: number | undefined;
}

/**
 * Torque at the fastener over torque shown: (L + E cos(alpha)) / L (lever arms; US Army TM 9-254). Throws CannotCompute
 * where an adapter is used and the wrench's length is not known, or the arm would vanish.
 */
export function gain(wrench: Wrench, adapter: Adapter | null): number {
  if (adapter === null || adapter.length_mm === 0) return 1;
  const { length_mm, angle_deg = 0 } = adapter;
  if (!(length_mm > 0 && length_mm <= 2000 && Number.isFinite(angle_deg))) throw new CannotCompute("The adapter's length and angle must be ordinary numbers.");
  const wrenchLength = wrench.length_mm ?? 0;
  if (!(wrenchLength >= 10 && wrenchLength <= 5000)) {
    throw new CannotCompute("With an adapter the wrench's length, square to the middle of the grip, is needed.");
  }
  const arm = 1 + (length_mm * Math.cos((angle_deg * Math.PI) / 180)) / wrenchLength;
  if (arm < 0.1) throw new CannotCompute("With the adapter turned back this far, no torque reaches the fastener.");
  return arm;
}

/** What to set on the wrench for a target at the fastener: target L / (L + E cos(alpha)), in the target's unit. */
export const setTo = (target: number, wrench: Wrench, adapter: Adapter | null = null): number => torque(target) / gain(wrench, adapter);

/** What reaches the fastener when the wrench shows `shown`, in the same unit. */
export const atFastener = (shown: number, wrench: Wrench, adapter: Adapter | null = null): number => torque(shown) * gain(wrench, adapter);

/** The wrench's own tolerance, else ISO 6789:2003 by its maximum; of an unknown wrench the wider that may apply. */
export function tolerancePercent(wrench: Wrench, shownNm: number): number {
  if (wrench.tolerance_percent !== undefined) {
    if (!(wrench.tolerance_percent >= 0 && wrench.tolerance_percent <= 50)) throw new CannotCompute("A wrench's tolerance lies between 0 and 50 %.");
    return wrench.tolerance_percent;
  }
  return (wrench.max_nm ?? shownNm) > 10 ? TOLERANCE_ABOVE_10_NM : TOLERANCE_TO_10_NM;
}

/**
 * Why the wrench cannot be trusted at this torque, or null: outside its range, which begins where its certificate says,
 * else at 20 % of its largest torque (ISO 6789:2003). A limit that is not known refuses nothing.
 */
export function refusal({ min_nm, max_nm }: Wrench, shownNm: number): string | null {
  const least = min_nm ?? (max_nm && RANGE_FROM * max_nm);
  if (!(shownNm < least!) && !(shownNm > max_nm!)) return null;
  return `This wrench is good${least === undefined ? "" : ` from ${figure(least)}`}${max_nm === undefined ? "" : ` to ${figure(max_nm)}`} N·m only: take another one.`;
}

/** The band of a target given as a single figure: 10 % to either side (from memory). */
export function bandAround(targetNm: number): Limits {
  return { lower: targetNm * (1 - SINGLE_FIGURE_PERCENT / 100), upper: targetNm * (1 + SINGLE_FIGURE_PERCENT / 100) };
}

/**
 * Judges the torque at the fastener; the wrench's tolerance is a rectangle around it (JCGM 100:2008, 4.3.7). One without
 * a tolerance but with the standard uncertainty of its certificate is judged by that. Outside its range a wrench vouches
 * for nothing: what would miss the band even if it erred by half is outside, all else is not judged. Equal limits are a
 * target given as a single figure, and are widened to its band. shownNm is what the wrench showed, where an adapter makes
 * it differ. Throws CannotCompute for what is no torque.
 */
export function judgeTorque(appliedNm: number, limits: Limits, wrench: Wrench = {}, shownNm: number = appliedNm): Judgement {
  const single = limits.lower != null && limits.lower === limits.upper;
  const band = single ? bandAround(limits.lower!) : limits;
  if (refusal(wrench, torque(shownNm))) {
    const judged = judgeInterval(...within(appliedNm, BEYOND_DOUBT_PERCENT), band);
    return judged.p_inside === 0 ? judged : NO_JUDGEMENT;
  }
  // What the adapter does to the torque it does to its uncertainty.
  if (byCertificate(wrench, shownNm)) return judge(appliedNm, (wrench.u_nm! * appliedNm) / shownNm, band);
  return judgeInterval(...within(appliedNm, tolerancePercent(wrench, shownNm)), band);
}

/**
 * Between what and what the torque at the fastener lies; null outside the wrench's range. By the wrench's tolerance, or
 * 1.645 standard uncertainties of its certificate to either side.
 */
export function spread(appliedNm: number, wrench: Wrench, shownNm: number): [number, number] | null {
  if (refusal(wrench, shownNm)) return null;
  const half = byCertificate(wrench, shownNm) ? (GUARD * wrench.u_nm! * appliedNm) / shownNm : (appliedNm * tolerancePercent(wrench, shownNm)) / 100;
  return [appliedNm - half, appliedNm + half];
}

const byCertificate = (wrench: Wrench, shownNm: number): boolean => wrench.tolerance_percent === undefined && wrench.u_nm !== undefined && shownNm > 0;

const within = (nm: number, percent: number): [number, number] => [nm * (1 - percent / 100), nm * (1 + percent / 100)];

function torque(value: number): number {
  if (!(value >= 0 && value <= 1e6)) throw new CannotCompute("A torque is a number from zero up.");
  return value;
}

/** Six figures, without idle zeros. */
const figure = (value: number): string => String(Number(value.toPrecision(6)));
