import { describe, expect, it } from "vitest";
import { facts, type Quantity } from "../../src/catalogue";
import { doubts, inForce, limitWords, startBands, whenWords, wrongLimits, type OwnBand } from "../../src/screens/keeps/band_words";
import { idOf, moved } from "../../src/screens/keeps/draft";
import { dueOf, inOrder, type Gauge } from "../../src/screens/keeps/gauge_words";
import { hindrance } from "../../src/screens/keeps/steps";
import { catalogue } from "../catalogue_source";

const of = (id: string): Quantity => catalogue.quantities.find((q) => q.id === id)!;
const own = (quantity: string, family: string | null, upper: number): OwnBand =>
  ({ quantity, family, lower: null, target: null, upper, note: null, in_force_from: "2026-03-05T09:00:00+00:00", by: "x" });

describe("bands", () => {
  it("the newest of each family counts, and the start value stays told from it", () => {
    const all = [own("cage_height_gap", null, 2), own("cage_height_gap", "cable-11x1-11-42-40", 3), own("cage_height_gap", null, 2.5), own("rotor_runout", null, 1)];
    expect([...inForce(all, "cage_height_gap")].map(([family, b]) => [family, b.upper])).toEqual([[null, 2.5], ["cable-11x1-11-42-40", 3]]);
    const q = of("cage_height_gap");
    expect(startBands({ ...q, bands: [{ tag: "set by the shop", upper: 9 }, ...q.bands] })).toEqual(q.bands);
  });
  it("are said in words", () => {
    expect(limitWords({ lower: 4.5, upper: 6, target: 5 }, "mm")).toBe("4.5 to 6 mm, target 5");
    expect(limitWords({ lower: 110, upper: 110, target: 110 }, "links")).toBe("exactly 110 links");
    expect(limitWords({ upper: 2 }, "mm")).toBe("up to 2 mm");
    expect(limitWords({ lower: 80 }, "%")).toBe("from 80 %");
    expect(limitWords(null, "step")).toBe("not judged");
  });
  it("each start value says which bikes it is for", () => {
    expect(of("hanger_deviation").bands.map((b) => whenWords(b.when))).toEqual(["12 and more cogs", "11-speed", "up to 10 cogs"]);
    expect(whenWords(undefined)).toBe("all bikes");
    const family = facts({ drivetrain: { rings: [40], cogs: [11, 42], shifting: "cable", rear_mount: "hanger", front_derailleur: false, suspension: false }, brakes: "disc", tyres: "tube" })["family"]!;
    expect(whenWords({ family })).toBe("2-speed, 40 × 11–42, cable");
  });
  it("what is turned round is said at its field", () => {
    expect(Object.keys(wrongLimits({ lower: 6, target: null, upper: 5 }))).toEqual(["upper"]);
    expect(Object.keys(wrongLimits({ lower: 5, target: 4, upper: null }))).toEqual(["target"]);
    expect(Object.keys(wrongLimits({ lower: null, target: 7, upper: 6 }))).toEqual(["target"]);
    expect(wrongLimits({ lower: 5, target: 5, upper: 5 })).toEqual({});
  });
  /** 6.6 u: twice 1.645 u on both sides, so that a value in the middle is just inside (ILAC-G8's guard band). */
  it("too narrow a band for its measuring is said", () => {
    const q = of("guide_pulley_gap");
    expect(doubts({ lower: 5, target: null, upper: 5 + 6.5 * q.u }, q, "mm")).toContain("Narrower");
    expect(doubts({ lower: 5, target: null, upper: 5 + 6.7 * q.u }, q, "mm")).toBeNull();
    expect(doubts({ lower: null, target: null, upper: null }, q, "mm")).toContain("not judged");
    expect(doubts({ lower: null, target: null, upper: 600 }, q, "mm")).toContain("beyond");
  });
});

describe("gauges", () => {
  const gauge = (name: string, due: string | null, more: Partial<Gauge> = {}): Gauge => ({ id: name, name, unit: "mm", due, overdue: false, retired: false, coverage_factor: 2, ...more });
  it("those that are due come first, what is out of use last", () => {
    const all = [gauge("later", "2027-01-01"), gauge("gone", null, { retired: true }), gauge("ran out", "2025-01-01", { overdue: true }), gauge("soon", "2026-03-20"), gauge("never", null)];
    expect(inOrder(all).map((g) => g.name)).toEqual(["ran out", "soon", "later", "never", "gone"]);
    const now = new Date("2026-03-05T12:00:00Z");
    expect(inOrder(all).map((g) => dueOf(g, now))).toEqual(["overdue", "soon", "holds", "unknown", "unknown"]);
  });
});

describe("tables of the shop's own", () => {
  it("a row moves past its neighbour, never out of the list", () => {
    const rows = [{ id: "a" }, { id: "b" }, { id: "c" }];
    expect(moved(rows, "b", -1).map((r) => r.id)).toEqual(["b", "a", "c"]);
    expect(moved(rows, "c", 1)).toEqual(rows);
    expect(moved(rows, "a", -1)).toEqual(rows);
  });
  it("no step goes before one that it needs", () => {
    const steps = catalogue.steps as Parameters<typeof hindrance>[0][number][];
    const hanger = steps.findIndex((s) => s.id === "hanger");
    const wheels = steps.findIndex((s) => s.id === "wheels");
    expect(hanger).toBe(wheels + 1);
    expect(hindrance(steps, hanger, -1)).toBe("Hanger straight comes after Wheels.");
    expect(hindrance(steps, wheels, 1)).toBe("Hanger straight comes after Wheels.");
    expect(hindrance(steps, 0, -1)).toBe("It is the first.");
    expect(hindrance(steps, wheels, -1)).toBeNull();
  });
  it("an own cause gets an id of the catalogue's form that nothing else has", () => {
    expect(idOf("Mud in the pulleys!", [])).toBe("mud_in_the_pulleys");
    expect(idOf("Mud in the pulleys", ["mud_in_the_pulleys"])).toBe("mud_in_the_pulleys_2");
    for (const label of ["Ölspur", "3 bolts", "…", "x".repeat(90)]) expect(idOf(label, [])).toMatch(/^[a-z][a-z0-9_]{0,63}$/);
  });
});
