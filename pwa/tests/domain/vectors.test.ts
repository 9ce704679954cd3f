/** The phone's computing on the answers it shares with the service; the source of each stands beside it in the file. */
import { describe, expect, test } from "vitest";
import { bandFor, type Catalogue } from "../../src/catalogue";
import { applies, facts, usualGear } from "../../src/domain/bike";
import { judge, judgeInterval } from "../../src/domain/conformity";
import { CannotCompute } from "../../src/domain/errors";
import { conflicts, handedOver, inOrder, standing, type AdjusterEffect } from "../../src/domain/handed_over";
import { fit, judgeDeviation } from "../../src/domain/hanger";
import { indexingEffect } from "../../src/domain/hanger_effect";
import { doneSteps, plan, PlanError } from "../../src/domain/plan";
import { convert, parseFactor } from "../../src/domain/units";
import { catalogueAsWritten, expectFields, vectors } from "../vectors";

const catalogue = catalogueAsWritten() as Catalogue;

describe("verdicts", () => {
  test.each(vectors("conformity"))("$id", ({ inputs, expected, tolerance }) => {
    const band = { lower: inputs.lower, upper: inputs.upper };
    const compute = () => ("low" in inputs ? judgeInterval(inputs.low, inputs.high, band) : judge(inputs.value, inputs.u, band));
    if (expected.error) expect(compute).toThrow(CannotCompute);
    else expectFields(compute(), expected, tolerance);
  });
});

describe("units", () => {
  test.each(vectors("units"))("$id", ({ inputs, expected, tolerance }) => {
    const compute = () => convert(inputs.value, parseFactor(inputs.from_factor), parseFactor(inputs.to_factor));
    if (expected.error) expect(compute).toThrow(CannotCompute);
    else expectFields({ value: compute() }, expected, tolerance);
  });
});

describe("hanger", () => {
  test.each(vectors("hanger"))("$id", ({ inputs, expected, tolerance }) => {
    const compute = () => {
      const found = fit(inputs.tips, inputs.radius_mm, inputs.u_mm);
      const judged = judgeDeviation(found, { upper: inputs.band_upper });
      const d = inputs.drivetrain;
      const effect = found.vertical_mm === null || !d ? {} :
        indexingEffect(found.vertical_mm / 2, found.radius_mm, d.cogs, d.cog_pitch_mm, d.trim_step_mm ?? undefined, d.pulley_depth_mm ?? undefined);
      return { ...found, ...judged, ...effect };
    };
    if (expected.error) expect(compute).toThrow(CannotCompute);
    else expectFields(compute(), expected, tolerance);
  });
});

describe("handed-over values", () => {
  test.each(vectors("handed_over"))("$id", ({ inputs, expected }) => {
    const adjusters = new Map<string, AdjusterEffect>(inputs.adjusters.map((a: AdjusterEffect) => [a.id, a]));
    if (expected.order) expect(inOrder(inputs.entries).map((e: any) => e.id)).toEqual(expected.order);
    if (expected.standing) expect(standing(inputs.entries).map((e: any) => e.id)).toEqual(expected.standing);
    if (expected.conflicts) expect(conflicts(inputs.entries)).toEqual(expected.conflicts);
    if (expected.error) {
      expect(() => handedOver(inputs.entries, adjusters)).toThrow();
      return;
    }
    const key = (value: any) => `${value.quantity} ${value.gear}`;
    const sorted = (values: any[]) => [...values].sort((one, other) => (key(one) < key(other) ? -1 : 1));
    expectFields(sorted(handedOver(inputs.entries, adjusters)), sorted(expected.values));
  });
});

describe("plan", () => {
  test.each(vectors("plan"))("$id", ({ inputs, expected }) => {
    const done = new Set<string>([...(inputs.done ?? []), ...(inputs.entries ? doneSteps(inputs.steps, inputs.entries) : [])]);
    const compute = () => plan(inputs.steps, inputs.missing_parts, done, inputs.failed_checks);
    if (!expected.states) {
      const refused = (() => {
        try {
          return compute();
        } catch (error) {
          return error;
        }
      })();
      expect(refused).toBeInstanceOf(PlanError);
      const ring = (refused as PlanError).steps.slice(0, -1);
      const rotations = ring.map((_, i) => [...ring.slice(i), ...ring.slice(0, i)]);
      expect(rotations).toContainEqual(expected.steps_any_rotation ?? expected.error?.steps_any_rotation);
      return;
    }
    const found = compute();
    expectFields({ ...found, holds: Object.fromEntries(found.holds) }, expected);
  });
});

describe("catalogue", () => {
  test.each(vectors("catalogue"))("$id", ({ inputs, expected }) => {
    if ("when" in inputs) expect(applies(inputs.when, inputs.facts)).toBe(expected);
    else if ("place" in inputs) expect(usualGear(inputs.place, inputs.bike)).toEqual(expected);
    else if ("quantity" in inputs) {
      const band = bandFor(catalogue, inputs.quantity, facts(inputs.bike));
      const limits = band && { lower: band.lower ?? null, upper: band.upper ?? null, target: band.target ?? null };
      expect(limits).toEqual(expected);
    }
    else expect(facts(inputs.bike)).toEqual(expected);
  });
});
