/** What is worked out at the bike, on the answers shared with the service; the source of each stands beside it in the file. */
import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { cageRotation } from "../../src/domain/cage";
import { CHECK_ON_BIKE, DOUBLE_RULE, elongation, sizeChain } from "../../src/domain/chain";
import { CannotCompute } from "../../src/domain/errors";
import { gearTable, missingLines } from "../../src/domain/gears";
import { candidatesByCount, candidatesByTaps } from "../../src/domain/noise";
import { advice, NAMES } from "../../src/domain/noise_words";
import { DISAGREE, NO_TILT, NOTHING_TO_COMPARE, rubWindow, TAKE_GAUGE, TOO_FEW_SHARED } from "../../src/domain/rub_window";
import { beyond, within } from "../../src/domain/student_t";
import { atFastener, judgeTorque, refusal, setTo, type Adapter, type Wrench } from "../../src/domain/torque";
import { convert, parseFactor } from "../../src/domain/units";
import { expectFields, vectors, type Case } from "../vectors";

function shared(name: string, compute: (inputs: any) => unknown): void {
  describe(name, () => {
    test.each(vectors(name))("$id", ({ inputs, expected, tolerance }: Case) => {
      if (expected.error) expect(() => compute(inputs)).toThrow(CannotCompute);
      else expectFields(compute(inputs), expected, tolerance);
    });
  });
}

shared("chain", ({ measured, ...known }) => (measured ? { elongation_percent: elongation(measured.links, measured.length_mm) } : sizeChain(known)));

shared("cage", (i) => cageRotation(i.front_gap_mm, i.tail_gap_mm, i.cage_length_mm, i.u_alignment_mm));

shared("gears", ({ rings, cogs, circumference_mm, ring, cog, chain_links, pulley_teeth, ...lines }) =>
  gearTable(rings, cogs, circumference_mm, lines, chain_links, pulley_teeth).find((line) => line.ring === ring && line.cog === cog));

shared("rub_window", (i) => rubWindow(i.cogs, i.handed_over ?? null, i.step_mm, i.radius_mm, i.u_steps));

shared("noise", ({ taps_ms, crank_taps_ms, count_in_ten_turns, gear, ...known }) =>
  taps_ms ? candidatesByTaps(taps_ms, { ...gear, ...known }, crank_taps_ms ?? null) : candidatesByCount(count_in_ten_turns, { ...gear, ...known }));

shared("torque", (i) => {
  const nm = (value: number) => convert(value, parseFactor(i.factor_nm), parseFactor("1"));
  const wrench: Wrench = { length_mm: i.wrench_mm, max_nm: i.wrench_max_nm, tolerance_percent: i.tolerance_percent, min_nm: i.wrench_min_nm, u_nm: i.wrench_u_nm };
  const adapter: Adapter | null = i.adapter_mm === undefined ? null : { length_mm: i.adapter_mm, angle_deg: i.angle_deg };
  const set_to = setTo(i.target, wrench, adapter);
  const answer = { set_to, target_nm: nm(i.target), applied_nm: null as number | null, verdict: null as string | null, p_inside: null as number | null };
  if (i.applied === undefined) return answer;
  const shown = nm(i.applied);
  answer.applied_nm = atFastener(shown, wrench, adapter);
  const limits = i.lower === undefined ? { lower: nm(i.target), upper: nm(i.target) } : { lower: nm(i.lower), upper: nm(i.upper) };
  const judged = judgeTorque(answer.applied_nm, limits, wrench, shown);
  if (judged.verdict === "none") expect(refusal(wrench, shown)).toContain("good from");
  else Object.assign(answer, judged);
  return answer;
});

describe("Student's t", () => {
  // NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.2, the column 0.975.
  test.each([[1, 12.706], [2, 4.303], [5, 2.571], [10, 2.228], [30, 2.042], [100, 1.984]])("two-sided 95 %% point of %d degrees", (freedom, point) => {
    expect(within(0.95, freedom)).toBeCloseTo(point, 3);
  });

  // Closed forms: a Cauchy distribution, and for two degrees P(|T| > t) = 1 - t / root(2 + t2).
  test.each([0, 0.5, 2, 30])("closed forms at %d", (t) => {
    expect(beyond(t, 1)).toBeCloseTo(1 - (2 / Math.PI) * Math.atan(t), 13);
    expect(beyond(t, 2)).toBeCloseTo(1 - t / Math.sqrt(2 + t * t), 13);
  });
});

describe("what cannot be computed is said in words", () => {
  test("three taps, a fast noise, a miscounted chain, an adapter without the wrench's length", () => {
    const gear = { ring: 46, cog: 17 };
    expect(() => candidatesByTaps([0, 700, 1400], gear)).toThrow("Tap along four times at least");
    expect(() => candidatesByTaps([0, 200, 400, 600, 800], gear)).toThrow("count the noises in ten pedal turns");
    expect(() => candidatesByTaps(Array.from({ length: 501 }, (_, i) => i * 500), gear)).toThrow("start again");
    expect(() => elongation(12, 165.1)).toThrow("not the length of 12 links");
    expect(() => setTo(40, {}, { length_mm: 60 })).toThrow("square to the middle of the grip");
    expect(refusal({ max_nm: 60 }, 5)).toContain("good from 12 to 60 N·m only");
    expect(refusal({ min_nm: 6 }, 5)).toContain("good from 6 N·m only");
    expect(() => sizeChain({ rings: [46], cogs: [36], chainstay_mm: NaN })).toThrow(CannotCompute);
    expect(missingLines([46, 33], {})).toContain("ring spacing");
    expect(candidatesByTaps([0, 700, 1400, 2100, 2800], gear).why_not["ratio_to_crank"]).toContain("Tap the crank too");
    expect(candidatesByCount(20, gear).why_not["period_ms"]).toContain("Give cadence");
  });

  test("a count of a noise that goes on while coasting rules out the crank", () => {
    const found = candidatesByCount(27, { ring: 46, cog: 17, coasting: true });
    expect(found.candidates.map((one) => one.part)).toEqual(["wheel", "other"]);
    expect(found.advice).toContain("crank, chain and pulleys are out");
  });
});

describe("the same words as the service's", () => {
  const source = (name: string) =>
    readFileSync(new URL(`../../../service/domain/${name}.py`, import.meta.url), "utf8");

  test.each([
    ["noise_words", Object.values(NAMES)], ["chain", [CHECK_ON_BIKE, DOUBLE_RULE]], ["rub_window", [TAKE_GAUGE, DISAGREE, NO_TILT, NOTHING_TO_COMPARE, TOO_FEW_SHARED]],
    ["noise_words", [advice("crank", false, [], [], false), advice("other", false, ["other", "crank"], [], null)].flatMap((words) => words.match(/[^.]+\./g)!.map((one) => one.trim()))],
  ])("%s", (name, sentences) => {
    for (const sentence of sentences) expect(source(name)).toContain(sentence);
  });
});
