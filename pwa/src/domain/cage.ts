/** The front derailleur's cage: its rotation from the gaps to the outer ring at its two ends. */
import { CannotCompute } from "./errors";

/** Gap at the front minus gap at the tail (mm), and the angle it makes (degrees), with standard uncertainties. */
export interface CageRotation {
  rotation_deg: number;
  u_rotation_deg: number;
  alignment_mm: number;
  u_alignment_mm: number;
}

const degrees = (radians: number): number => (radians * 180) / Math.PI;

/**
 * Rotation = atan((front gap - tail gap) / cage length): positive where the cage's front stands out (geometry).
 * uAlignmentMm is that of the difference of the two gaps; it is propagated to first order (JCGM 100:2008, 5.1.2), the
 * length taken as exact. Throws CannotCompute for a length that is not above zero, or what is no number.
 */
export function cageRotation(frontGapMm: number, tailGapMm: number, cageLengthMm: number, uAlignmentMm: number): CageRotation {
  if (![frontGapMm, tailGapMm, uAlignmentMm].every((x) => Math.abs(x) <= 1000)) throw new CannotCompute("Gaps must be ordinary numbers of millimetres.");
  if (uAlignmentMm < 0) throw new CannotCompute("An uncertainty cannot be negative.");
  if (!(cageLengthMm >= 1 && cageLengthMm <= 1000)) {
    throw new CannotCompute("The cage's length between the two places must be given in millimetres.");
  }
  const alignment = frontGapMm - tailGapMm;
  const slope = alignment / cageLengthMm;
  return {
    rotation_deg: degrees(Math.atan(slope)), u_rotation_deg: degrees(uAlignmentMm / cageLengthMm / (1 + slope ** 2)),
    alignment_mm: alignment, u_alignment_mm: uAlignmentMm,
  };
}
