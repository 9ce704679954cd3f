/** Shift checks by hand: the way through the gears, what the grid shows, and the ride in words. Cogs as in a 5-speed. */
import { describe, expect, it } from "vitest";
import { catalogue } from "../catalogue_source";
import type { Entry, Stage } from "../../src/nouns";
import { byBarrelTurns, bySteps } from "../../src/domain/fine_position";
import { doneSteps } from "../../src/domain/plan";

const { tried, triedWords } = await import("../../src/screens/shifts/tried");
const { after, into, nextGear, outermost, walked } = await import("../../src/screens/shifts/walk");
const { judgedIn, lastRide, notJudged, sinceTheStand, turnedInAll, unjudgedTurning } = await import("../../src/screens/road/ridden");

const drivetrain = { rings: [46, 33], cogs: [11, 13, 15, 17, 20], shifting: "electronic", rear_mount: "hanger", front_derailleur: true, suspension: false, trim_step_mm: 0.2 } as const;
const d = { ...drivetrain, rings: [...drivetrain.rings], cogs: [...drivetrain.cogs] };
let n = 0;
const entry = (kind: string, data: object, stage: Stage = "bench", more: object = {}) =>
  ({ id: `e${++n}`, job_id: "j", device_seq: n, kind, stage, taken_at: `2026-05-04T09:00:${String(n % 60).padStart(2, "0")}Z`, data, ...more }) as unknown as Entry;
const gear = (ring: number, cog: number) => ({ ring, cog });
const shift = (from: [number, number], to: [number, number], outcome = "clean", stage: Stage = "bench") => entry("shift_check", { from: gear(...from), to: gear(...to), outcome }, stage);

describe("the way through the gears", () => {
  it("begins outermost and goes inward", () => expect([outermost(d), nextGear(d, gear(46, 11), null)]).toEqual([gear(46, 11), gear(46, 13)]));
  it("goes on in the direction of the last shift, and turns at the end", () => {
    const out = { from: gear(46, 17), to: gear(46, 15), outcome: "clean" } as const;
    expect(nextGear(d, gear(46, 15), out)).toEqual(gear(46, 13));
    expect(nextGear(d, gear(46, 20), { from: gear(46, 17), to: gear(46, 20), outcome: "clean" })).toEqual(gear(46, 17));
  });
  it("has none on a single cog", () => expect(nextGear({ ...d, cogs: [18] }, gear(46, 18), null)).toBeNull());
  it("stays where a shift did not come", () => expect(after({ from: gear(46, 13), to: gear(46, 15), outcome: "no_shift" })).toEqual(gear(46, 13)));
});

describe("what the grid shows", () => {
  const all = [shift([46, 11], [46, 13]), shift([46, 15], [46, 13], "rubs"), shift([46, 11], [46, 13], "hesitates"), shift([33, 13], [46, 13], "drops_outward"), shift([46, 13], [46, 15], "clean", "found")];
  const found = tried(all, ["bench"]);
  it("takes the newest of each shift, of the stages asked for", () => expect(found.size).toBe(3));
  it("tells the side it came from: smaller cogs and larger rings lie outboard", () => {
    expect(into(found, gear(46, 13), false, -1)?.data.outcome).toBe("hesitates");
    expect(into(found, gear(46, 13), false, 1)?.data.outcome).toBe("rubs");
    expect(into(found, gear(46, 13), true, 1)?.data.outcome).toBe("drops_outward");
    expect(into(found, gear(46, 13), true, -1)).toBeNull();
  });
  it("counts from cog to cog, both ways", () => expect([walked(d, 46, found), walked(d, 33, found)]).toEqual([{ tried: 2, of: 8 }, { tried: 0, of: 8 }]));
  it("says it in words", () => {
    expect(triedWords(catalogue, tried([shift([46, 11], [46, 13])], ["bench"]))).toBe("1 shift tried, clean.");
    expect(triedWords(catalogue, found)).toContain("46 × 11 to 46 × 13: hesitates.");
    expect(triedWords(catalogue, new Map())).toBe("");
  });
});

describe("a ride in short", () => {
  const turn = (adjuster: string, amount: number, more: object = {}) => entry("adjustment", { adjuster, amount, unit: adjuster === "barrel" ? "turn" : "step", ...more }, "road", { gear: gear(33, 17) });
  const end = () => entry("check", { check: "step_test_ride", outcome: "passed" }, "road");
  const work = { cat: catalogue, bike: { drivetrain: d } } as never;
  it("is what lies between two ends", () => {
    const [a, b] = [turn("rear_trim", 1), turn("rear_trim", 1)];
    expect(lastRide([a, end(), entry("remark", { text: "x" }), b, end()])).toEqual([b]);
    expect(lastRide([a])).toEqual([]);
  });
  it("adds up steps, with millimetres where the bike's facts give them: 2 x 0.2 mm", () =>
    expect(turnedInAll(work, [turn("rear_trim", 3), turn("rear_trim", -1), turn("front_trim", 1), turn("front_trim", -1)])).toEqual(["rear 2 inboard, 0.4 mm at the pulley"]));
  it("counts from the stand over all rides, by hand: +2 and -1 come to +1; a bench turn or reading of the same thing counts from there", () => {
    const [first, front, second] = [turn("rear_trim", 2), turn("front_trim", 1), turn("rear_trim", -1)];
    const bench = (adjuster: string) => entry("adjustment", { adjuster, amount: 1, unit: "step" });
    const read = (quantity: string) => entry("reading", { quantity, value: 3, unit: "step" });
    const standing = [read("rear_trim"), turn("rear_trim", 5), read("rear_trim"), first, front, end(), bench("front_trim"), second, end(), read("rear_trim")];
    const changed = (road: Entry[]) => turnedInAll(work, sinceTheStand({ cat: catalogue, standing }, road));
    expect(changed([first, front])).toEqual(["rear 2 inboard, 0.4 mm at the pulley", "front 1 inboard"]);
    expect(changed([second])).toEqual(["rear 1 inboard, 0.2 mm at the pulley"]);
    expect(changed([])).toEqual([]);
  });
  it("says which gears nobody judged", () => {
    const judged = judgedIn([turn("none", 0), shift([33, 11], [33, 13], "clean", "road")]);
    expect(notJudged(d, judged)).toEqual(["On the 46 none of the cogs was judged.", "On the 33 not judged: 15, 20."]);
  });
  it("asks for what the last turning did", () => {
    const last = turn("rear_trim", 1);
    expect(unjudgedTurning([turn("rear_trim", 1, { effect: "better" }), last])).toBe(last);
    expect(unjudgedTurning([turn("rear_trim", 1, { effect: "same" })])).toBeNull();
  });
});

describe("millimetres at the pulley, by closed form", () => {
  it("steps times their size", () => expect(bySteps(-3, 0.2)).toBeCloseTo(-0.6, 12));
  it("turns times 0.8 mm of cable (M5 x 0.8, ISO 261) times the actuation ratio", () => expect(byBarrelTurns(0.5, 1.4)).toBeCloseTo(0.56, 12));
  it("refuses what is no size", () => expect(() => bySteps(1, 0)).toThrow("above zero"));
});

describe("the plan", () => {
  it("is neither moved on nor held up by a shift check", () => {
    const steps = [{ id: "rear_position", quantities: ["rear_trim"] }];
    const check = { id: "s", kind: "shift_check", stage: "bench", taken_at: 2, outcome: "hesitates" };
    const read = { id: "r", kind: "reading", stage: "bench", taken_at: 1, quantity: "rear_trim", value: 1 };
    expect([...doneSteps(steps, [check])]).toEqual([]);
    expect([...doneSteps(steps, [read, check])]).toEqual(["rear_position"]);
  });
});
