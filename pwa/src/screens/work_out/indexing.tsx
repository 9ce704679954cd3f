import { indexingEffect } from "../../domain/hanger_effect";
import type { HangerFit } from "../../domain/hanger";
import { amount, num } from "../../look/number";
import type { Drivetrain } from "../../nouns";
import { attempt } from "./sheet";

/** What the hanger's bend does to the shifting, once its direction is known. */
export function Indexing({ fit, drivetrain: d }: { fit: HangerFit; drivetrain: Pick<Drivetrain, "cogs" | "cog_pitch_mm" | "trim_step_mm"> }) {
  if (fit.vertical_mm === null || fit.steepest_clock === null) return null;
  const { answer: effect } = attempt(() => indexingEffect(fit.vertical_mm! / 2, fit.radius_mm, d.cogs, d.cog_pitch_mm, d.trim_step_mm));
  if (!effect) return null;
  const steps = effect.trim_steps;
  return (
    <p class="s mb">
      On the shifting: in the middle of the cassette the pulley stands {num(Math.abs(effect.offset_mm), 2)} mm too far {effect.offset_mm > 0 ? "inboard" : "outboard"}
      {steps === null ? "" : `, which ${amount(Math.abs(steps), 1, "step")} ${steps > 0 ? "inboard" : "outboard"} would make up for`}. No one fine position serves all cogs: largest and smallest differ by up to {num(effect.index_spread_mm, 2)} mm
      {effect.index_spread_of_pitch === null ? "" : `, ${num(effect.index_spread_of_pitch * 100, 0)} % of the way from cog to cog`}.
    </p>
  );
}
