import { describe, expect, it, vi } from "vitest";
import { signal } from "@preact/signals";
import type { DomainEntry } from "../../src/domain/handed_over";
import { catalogue } from "../catalogue_source";

vi.mock("../../src/book", () => ({ catalogue: signal(null), entriesOf: () => signal([]), entriesOfBike: () => signal([]), jobsOf: () => [] }));
const { countsOf, windowsOf } = await import("../../src/screens/work_out/windows");
const { bandOf, targetWords, torqueAt } = await import("../../src/screens/torque_value");
const { toolFor, toolsFor, toolsOf } = await import("../../src/screens/tools");
const { sharePercent } = await import("../../src/look/share_rule");

let n = 0;
const entry = (kind: string, more: Partial<DomainEntry>): DomainEntry => ({ id: `e${++n}`, kind, stage: "bench", taken_at: n, ...more });
const counted = (cog: number, side: "in" | "out", value: number, ring = 33) => entry("reading", { quantity: `rub_${side}_steps`, value, gear: [ring, cog] });
const turned = (amount: number, adjuster = "rear_trim") => entry("adjustment", { adjuster, amount });

describe("rub windows from what was written down", () => {
  it("are the last counts on both sides of each cog, on one ring", () => {
    const entries = [counted(36, "in", 4), counted(36, "in", 5), counted(36, "out", 6), counted(19, "in", 3), counted(36, "in", 9, 46)];
    expect(windowsOf(countsOf(entries, 33))).toEqual([{ cog: 36, in_steps: 5, out_steps: 6 }]);
    expect(countsOf(entries, 33).get(19)).toEqual({ in_steps: 3, out_steps: null });
  });

  it("move with the fine position: a step inboard leaves one fewer to the noise inboard (the middle of the window stays on the bike)", () => {
    const entries = [counted(36, "in", 5), counted(36, "out", 5), turned(2), counted(19, "in", 5), counted(19, "out", 5), turned(-1), turned(3, "b_screw")];
    expect(windowsOf(countsOf(entries, 33))).toEqual([{ cog: 36, in_steps: 4, out_steps: 6 }, { cog: 19, in_steps: 6, out_steps: 4 }]);
  });

  it("leave out what was taken back", () => {
    const wrong = counted(36, "in", 5);
    const entries = [wrong, counted(36, "out", 5), entry("void", { replaces: wrong.id })];
    expect(windowsOf(countsOf(entries, 33))).toEqual([]);
  });
});

describe("a torque at its fastener", () => {
  const caliper = { lower: 6, upper: 8 };

  it("through an adapter is more than the wrench shows: 5.8 x 300 / 250 (lever arms, US Army TM 9-254)", () => {
    const at = torqueAt(catalogue, { applied: 5.8, unit: "N·m", wrench_mm: 250, adapter_mm: 50, angle_deg: 0 }, caliper);
    expect(at.value_nm).toBeCloseTo(6.96, 12);
    expect(at.verdict).toBe("inside");
  });

  it("in other units (1 lbf·in is 0.112985 N·m, NIST SP 811, appendix B)", () =>
    expect(torqueAt(catalogue, { applied: 60, unit: "lbf·in" }, caliper).value_nm).toBeCloseTo(60 * 0.112985, 4));

  it("is not judged by a wrench outside 20 to 100 % of its range (ISO 6789:2003)", () => {
    expect(torqueAt(catalogue, { applied: 7, unit: "N·m" }, caliper, { max_nm: 60 })).toMatchObject({ verdict: "none", refused: expect.stringContaining("12 to 60") });
    expect(torqueAt(catalogue, { applied: 12, unit: "N·m" }, { lower: 12, upper: 12 }, { max_nm: 60 }).refused).toBeNull();
  });

  it("a target of one figure has a band of 10 % to either side", () => {
    expect(bandOf({ lower: 40, upper: 40 })).toEqual({ lower: 36, upper: 44 });
    expect([targetWords({ lower: 40, upper: 40 }), targetWords(caliper), targetWords({})]).toEqual(["40", "6 to 8", "no figure"]);
  });
});

describe("where something can be worked out", () => {
  const step = (id: string) => catalogue.steps.find((s) => s.id === id)!;

  it("is offered in the steps that ask for it", () => {
    expect(toolsOf(step("chain")).map((t) => t.id)).toEqual(["chain", "wear"]);
    expect(toolsOf(step("rear_position")).map((t) => t.id)).toEqual(["rub", "noise"]);
    expect(toolsOf(step("front_cage")).map((t) => t.id)).toEqual(["cage"]);
    expect(toolsOf(step("arrival")).map((t) => t.id)).toContain("noise");
    expect(toolsOf(step("cockpit"))).toEqual([]);
    expect([toolFor("chain_links")?.id, toolFor("rear_trim")]).toEqual(["chain", undefined]);
  });

  it("only on bikes that are asked it", () => {
    const single = toolsFor({ steps: [{ step: step("chain") }] as never }).map((t) => t.id);
    expect(single).toEqual(["chain", "wear", "torque", "noise", "gears"]);
  });
});

describe("a chance in words", () => {
  it.each([[0, "0 %"], [0.001, "under 1 %"], [0.5, "50 %"], [0.999, "over 99 %"], [1, "100 %"]])("%d is %s", (share, words) => expect(sharePercent(share)).toBe(words));
});
