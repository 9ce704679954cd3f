/** What a bent hanger does to the shifting: no single fine position serves all cogs. */
import { pitchRadius } from "./chain";
import { CannotCompute } from "./errors";

export interface IndexingEffect {
  /** An upper bound, since the pulley's gap is larger on small cogs. */
  index_spread_mm: number;
  /** null without a pitch. */
  index_spread_of_pitch: number | null;
  left_over_mm: number;
  offset_mm: number;
  pulley_depth_mm: number;
  /** The correction, positive inboard; null without a step. */
  trim_steps: number | null;
}

/**
 * Effect of the vertical component a (mm at radiusMm; above zero: lower end bent in, pulley inboard). Plane geometry, small
 * angles: spread = |a| / R x (r_large - r_small), r the cogs' pitch radii; offset = a / R x depth of the pulley below the
 * hanger in the middle of the cassette. Where no depth is given it is the mean of the largest and smallest pitch radius
 * (from memory: hanger drop, pulley radius and gap about cancel).
 */
export function indexingEffect(
  aMm: number, radiusMm: number, cogs: readonly number[], cogPitchMm?: number, trimStepMm?: number, pulleyDepthMm?: number,
): IndexingEffect {
  if (cogs.length === 0) throw new CannotCompute("The cassette's cogs are needed for the effect on the shifting.");
  for (const length of [cogPitchMm, trimStepMm, pulleyDepthMm]) {
    if (length !== undefined && !(length > 0 && length < Infinity)) {
      throw new CannotCompute("Cog pitch, step and pulley depth must be above zero.");
    }
  }
  const [large, small] = [pitchRadius(Math.max(...cogs)), pitchRadius(Math.min(...cogs))];
  const depth = pulleyDepthMm ?? (large + small) / 2;
  const spread = (Math.abs(aMm) / radiusMm) * (large - small);
  const offset = (aMm / radiusMm) * depth;
  return {
    index_spread_mm: spread, index_spread_of_pitch: cogPitchMm === undefined ? null : spread / cogPitchMm, left_over_mm: spread / 2, offset_mm: offset,
    pulley_depth_mm: depth, trim_steps: trimStepMm === undefined ? null : -offset / trimStepMm,
  };
}
