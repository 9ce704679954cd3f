import { beforeEach, describe, expect, it, vi } from "vitest";
import { signal } from "@preact/signals";
import type { LoggedEntry } from "../../src/book";
import type { Bike, Entry, Job } from "../../src/nouns";
import { facts, onBike, type Facts, type When } from "../../src/domain/bike";
import { catalogue } from "../catalogue_source";

/** The seam, with nothing behind it: what a job is worked out from is handed in. */
const before: { jobs: Job[]; entries: LoggedEntry[] } = { jobs: [], entries: [] };
vi.mock("../../src/book", async () => ({
  catalogue: signal((await import("../catalogue_source")).catalogue),
  entriesOf: (id: string) => signal(before.entries.filter((e) => e.entry.job_id === id)), jobsOf: () => before.jobs,
}));
const { workOf, quantityState, outcomeOf } = await import("../../src/screens/work");
const { noBandWords } = await import("../../src/screens/bench/line");
const { wrenches } = await import("../../src/screens/wrenches");

const bike: Bike = {
  id: "b", seq: 1, label: "Grey all-road 54", brakes: "disc", tyres: "tubeless",
  drivetrain: { rings: [46, 33], cogs: [10, 11, 12, 13, 14, 15, 17, 19, 21, 24, 28, 36], shifting: "electronic", rear_mount: "hanger", front_derailleur: true, suspension: false },
};
const job: Job = { id: "j", seq: 1, bike_id: "b", kind: "build", opened_at: "2026-03-05T09:00:00+01:00", state: "open" };
let n = 0;
const entry = (kind: string, data: object, more: Partial<Entry> = {}): LoggedEntry => {
  n += 1;
  const at = new Date(Date.UTC(2026, 2, 5, 9, n)).toISOString();
  return { state: "confirmed", seq: n, entry: { id: `e${n}`, job_id: "j", device_seq: n, stage: "bench", taken_at: at, kind, data, ...more } as Entry };
};
const reading = (quantity: string, value: number, unit: string, more: Partial<Entry> = {}) => entry("reading", { quantity, value, unit }, more);
const state = (entries: LoggedEntry[], id: string) => quantityState(workOf(bike, job, entries)!, catalogue.quantities.find((q) => q.id === id)!);

beforeEach(() => {
  before.jobs = [];
  before.entries = [];
});

describe("a job as the screens show it", () => {
  it("asks only what the bike has", () => {
    const steps = workOf(bike, job, [])!.steps;
    expect(steps.some((s) => s.step.id === "cable")).toBe(false);
    expect(steps.some((s) => s.step.id === "suspension")).toBe(false);
    expect(steps.find((s) => s.step.id === "rear_position")!.quantities.map((q) => q.quantity.id)).toEqual(["rear_trim"]);
  });
  it("a missing part holds its steps and what needs them, not the rest", () => {
    const work = workOf(bike, { ...job, missing_parts: ["front_derailleur_mount"] }, [])!;
    const of = (id: string) => work.steps.find((s) => s.step.id === id)!.state.state;
    expect([of("support_wedge"), of("front_derailleur"), of("front_cage"), of("front_limits")]).toEqual(["held", "held", "held", "held"]);
    expect(of("cockpit")).toBe("ready");
  });
  it("judges a value by its band, and an unread line not at all", () => {
    const gap = { gear: { ring: 33, cog: 36 } };
    expect(state([reading("guide_pulley_gap", 5.2, "mm", gap)], "guide_pulley_gap")).toMatchObject({ value: 5.2, verdict: "inside" });
    expect(state([reading("guide_pulley_gap", 7, "mm", gap)], "guide_pulley_gap").verdict).toBe("outside");
    expect(state([], "guide_pulley_gap")).toMatchObject({ value: null, verdict: "none", gear: { ring: 33, cog: 36 } });
  });
  it("takes other units by the catalogue's exact factors (one inch is 25.4 mm by definition)", () =>
    expect(state([reading("cage_height_gap", 0.06, "in")], "cage_height_gap").value).toBeCloseTo(1.524, 12));
  it("a go / no-go pair is judged by its share inside the band", () =>
    expect(state([entry("reading", { quantity: "cage_height_gap", low: 1.5, high: 2, unit: "mm" })], "cage_height_gap")).toMatchObject({ low: 1.5, high: 2, verdict: "inside" }));
  it("the hanger's value is the fit of its tips: 12 minus 6 of 2.7 mm and 3 minus 9 of 0.6 mm (closed form for four places)", () => {
    const tips = [{ clock: 12, gap_mm: 10.2 }, { clock: 3, gap_mm: 9.3 }, { clock: 6, gap_mm: 7.5 }, { clock: 9, gap_mm: 8.7 }];
    expect(state([entry("reading", { quantity: "hanger_deviation", tips })], "hanger_deviation").value).toBeCloseTo(Math.hypot(2.7, 0.6), 9);
  });
  it("a road step adds to a setting, and makes what it touches stale", () => {
    const entries = [reading("rear_trim", 3, "step"), reading("cage_inner_clearance", 0.4, "mm", { gear: { ring: 33, cog: 36 } }),
      entry("adjustment", { adjuster: "rear_trim", amount: 2, unit: "step" }, { stage: "road" }), entry("adjustment", { adjuster: "front_trim", amount: -1, unit: "step" }, { stage: "road" })];
    expect(state(entries, "rear_trim")).toMatchObject({ value: 5, readingValue: 3, stepsAdded: 2 });
    expect(state(entries, "cage_inner_clearance")).toMatchObject({ value: null, stale: true, readingValue: 0.4 });
  });
  it("what was taken back does not count", () => {
    const read = reading("rear_trim", 3, "step");
    expect(state([read, entry("void", {}, { replaces: read.entry.id })], "rear_trim").value).toBeNull();
  });
  it("what the service set aside does not count", () => expect(state([{ ...reading("rear_trim", 3, "step"), state: "set_aside" }], "rear_trim").value).toBeNull());
  it("an id of a newer catalogue is passed over", () => expect(() => workOf(bike, job, [reading("not_yet_invented", 1, "mm"), entry("adjustment", { adjuster: "new_one", amount: 1, unit: "step" })])).not.toThrow());
  it("the last visit's handed-over value is the one to compare with", () => {
    before.jobs = [{ ...job, id: "old", state: "handed_over", opened_at: "2026-01-22T09:00:00+01:00" }];
    before.entries = [reading("rear_trim", 3, "step", { job_id: "old" }), entry("adjustment", { adjuster: "rear_trim", amount: 1, unit: "step" }, { job_id: "old", stage: "road" })];
    expect(state([], "rear_trim").baseline).toBe(4);
  });
});

describe("a torque", () => {
  const cockpit = (...applied: number[]) => workOf(bike, job, [
    entry("torque", { fastener: "stem_steerer", applied: 5, unit: "N·m" }, { gauge_id: "small" } as Partial<Entry>),
    ...applied.map((nm) => entry("torque", { fastener: "stem_faceplate", applied: nm, unit: "N·m" }, { gauge_id: "small" } as Partial<Entry>)),
  ])!.steps.find((s) => s.step.id === "cockpit")!.state.state;
  beforeEach(() => {
    wrenches.value = [{ id: "small", name: "2 to 14", unit: "N·m", lowest: 2, highest: 14, coverage_factor: 2 } as (typeof wrenches.value)[number]];
    return () => (wrenches.value = []);
  });
  it("that holds makes its step done", () => expect(cockpit(5)).toBe("done"));
  it("of 50 on a bolt of 5 does not, by a wrench that ends at 14 or by any", () => {
    expect(cockpit(50)).toBe("ready");
    wrenches.value = [];
    expect(cockpit(50)).toBe("ready");
  });
  it("below what the wrench can vouch for does not, and a later one that holds does", () => {
    expect(cockpit(1.9)).toBe("ready");
    expect(cockpit(1.9, 5)).toBe("done");
    expect(cockpit(5, 1.9)).toBe("ready");
  });
  it("in a unit of a newer catalogue is passed over", () =>
    expect(() => workOf(bike, job, [entry("torque", { fastener: "stem_faceplate", applied: 5, unit: "kN·m" })])).not.toThrow());
});

it("a bike is only offered what it has; what was chosen before stays, to be taken out", () => {
  const single = facts({ ...bike, drivetrain: { ...bike.drivetrain, rings: [40], front_derailleur: false } });
  type Row = { id: string; applies?: When };
  const front = (list: readonly Row[], of: Facts) => onBike(list, of).map((one) => one.id).filter((id) => id.startsWith("front_"));
  for (const list of [catalogue.parts, catalogue.symptoms, catalogue.adjusters, catalogue.causes] as Row[][]) {
    expect(front(list, facts(bike)).length).toBeGreaterThan(0);
    expect(front(list, single)).toEqual([]);
  }
  expect(onBike(catalogue.parts, facts(bike)).map((one) => one.id)).not.toContain("cables");
  expect(onBike(catalogue.parts, single, ["front_derailleur"]).map((one) => one.id)).toContain("front_derailleur");
});

it("says why a value has nothing to be judged by, and what it is for", () => {
  const words = (id: string, entries: LoggedEntry[] = [], of = bike) => noBandWords(quantityState(workOf(of, job, entries)!, catalogue.quantities.find((q) => q.id === id)!));
  expect(words("guide_pulley_gap")).toBe("");
  expect(words("rear_trim")).toBe("No band: each bike has its own. It is kept to compare next time.");
  expect(words("chain_links")).toContain("chainstay length");
  expect(words("chain_links", [], { ...bike, drivetrain: { ...bike.drivetrain, chainstay_mm: 420 } })).toBe("");
  expect(words("lever_reach_left")).toContain("the shop can set one");
  before.jobs = [{ ...job, id: "old", state: "handed_over", opened_at: "2026-01-22T09:00:00+01:00" }];
  before.entries = [reading("rear_trim", 3, "step", { job_id: "old" })];
  expect(words("rear_trim")).toContain("Compare it with what the bike left with");
});

describe("stop-ride checks", () => {
  const check = (id: string, outcome: string) => entry("check", { check: id, outcome });
  it("a failed one blocks the ride until it is passed", () => {
    const failed = [check("brake_hold", "failed")];
    expect(workOf(bike, job, failed)!.failedStops.map((c) => c.id)).toEqual(["brake_hold"]);
    expect(workOf(bike, job, failed)!.steps.find((s) => s.step.id === "test_ride")!.state).toMatchObject({ state: "held", held_by_check: ["brake_hold"] });
    expect(workOf(bike, job, [...failed, check("brake_hold", "passed")])!.failedStops).toEqual([]);
  });
  it("the last outcome stands", () => expect(outcomeOf(workOf(bike, job, [check("pedals_tight", "passed"), check("pedals_tight", "not_done")])!, "pedals_tight")).toBe("not_done"));
  it("a bike without hookless rims is not asked for their pairing", () => expect(workOf(bike, job, [])!.openStops.some((c) => c.id === "hookless_pairing")).toBe(false));
});
