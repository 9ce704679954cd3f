import { describe, expect, it } from "vitest";
import { clamp, graduations, graduationPath, GUARD, LOWER_AT, mark, place, scaleOf, UPPER_AT, valueAt, whisker, type ScaleSource } from "../../src/look/geometry";
import { catalogue } from "../catalogue_source";

const gap: ScaleSource = { lower: 4.5, upper: 6, plausible: [0, 60], minor: 0.1, major: 0.5, zero: true };
const bend: ScaleSource = { upper: 2, plausible: [0, 60], minor: 0.1, major: 0.5, zero: true };
const pads: ScaleSource = { lower: 1, plausible: [0, 20], minor: 0.1, major: 0.5, zero: true };
const trim: ScaleSource = { plausible: [-40, 40], minor: 1, major: 5, span: 5, signed: true, setting: true };

const starts = catalogue.quantities.flatMap((q) => (q.bands.length ? q.bands : [{}]).map((band, i) => ({ name: `${q.id} ${i + 1}`, source: { ...q, ...band } as ScaleSource })));

describe("the limits of every rule stand at the same two places", () => {
  it("with two limits", () => {
    const s = scaleOf(gap);
    expect(place(s, 4.5)).toBeCloseTo(30, 9);
    expect(place(s, 6)).toBeCloseTo(70, 9);
  });
  it("with an upper limit only, zero at the edge", () => {
    const s = scaleOf(bend);
    expect(place(s, 2)).toBeCloseTo(70, 9);
    expect(place(s, 0)).toBeCloseTo(0, 9);
    expect(s.zero).toBe(true);
  });
  it("with a lower limit only", () => {
    const s = scaleOf(pads);
    expect(place(s, 1)).toBeCloseTo(30, 9);
    expect(place(s, 0)).toBeCloseTo(0, 9);
  });
  it("with a fullest value, which stands where an upper limit would", () => {
    const s = scaleOf({ lower: 80, full: 100, plausible: [0, 100], minor: 2, major: 10, zero: true });
    expect(place(s, 80)).toBeCloseTo(30, 9);
    expect(place(s, 100)).toBeCloseTo(70, 9);
    expect(s.zero).toBe(false);
  });
  it.each(starts)("for $name of the catalogue", ({ source }) => {
    const s = scaleOf(source);
    if (s.lower !== null) expect(place(s, s.lower)).toBeCloseTo(LOWER_AT, 6);
    if (s.upper !== null) expect(place(s, s.upper)).toBeCloseTo(UPPER_AT, 6);
    expect(graduations(s).length).toBeGreaterThan(3);
    expect(graduations(s).length).toBeLessThanOrEqual(66);
  });
  it("whatever value is drawn: the scale knows no value", () => {
    expect(scaleOf(gap)).toEqual(scaleOf({ ...gap, reference: 99 }));
  });
});

describe("rules without a band", () => {
  it("a setting has the handed-over value in its middle, its span at the ends", () => {
    const s = scaleOf({ ...trim, reference: 3 });
    expect([place(s, 3), place(s, -2), place(s, 8)]).toEqual([50, 0, 100]);
    expect(s.middle).toBe(3);
  });
  it("a setting without one has zero in its middle", () => expect(place(scaleOf(trim), 0)).toBe(50));
  it("a measurement without one shows the plausible range", () => {
    const s = scaleOf({ plausible: [200, 1200], minor: 1, major: 5, span: 5, zero: true });
    expect([valueAt(s, 0), valueAt(s, 100)]).toEqual([200, 1200]);
    expect(s.minor).toBeGreaterThan(1);
  });
  it("one figure as target is a middle, not two limits on one place", () => {
    const s = scaleOf({ lower: 10, upper: 10, span: 4, plausible: [0, 100], minor: 0.2, major: 1 });
    expect([s.lower, s.upper, s.middle, place(s, 10)]).toEqual([null, null, 10, 50]);
  });
});

describe("marks", () => {
  const s = scaleOf(bend);
  it("a tick on the rule is not broken", () => expect(mark(s, 1)).toEqual({ at: 35, off: 0 }));
  it("far beyond a one-sided limit it stands broken at the end", () => expect(mark(s, 44)).toEqual({ at: 100, off: 1 }));
  it("below the edge it stands broken at the start", () => expect(mark(scaleOf({ ...bend, signed: true }), -0.5)).toEqual({ at: 0, off: -1 }));
  it("the whisker is 1.645 u each way and need not be even", () => {
    expect(whisker(s, 1 - GUARD * 0.1, 1 + GUARD * 0.1)).toMatchObject({ fromOpen: false, toOpen: false });
    const w = whisker(s, 0.2, 1.9)!;
    expect(w.from).toBeCloseTo(7, 9);
    expect(w.to).toBeCloseTo(66.5, 9);
  });
  it("an end beyond the rule stays open, without its cap", () => expect(whisker(s, 1.9, 9)).toMatchObject({ to: 100, toOpen: true, fromOpen: false }));
  it("wholly beyond the rule there is no whisker", () => expect(whisker(s, 5, 9)).toBeNull());
  it("an inside whisker touches no bracket arm, as the guard band says (ILAC-G8: 1.645 u inside a one-sided limit)", () => {
    const u = 0.3;
    const w = whisker(s, 0, 2 - GUARD * u + GUARD * u)!;
    expect(w.to).toBeCloseTo(UPPER_AT, 9);
  });
  it("clamps", () => expect([clamp(-3), clamp(50), clamp(103)]).toEqual([0, 50, 100]));
});

it("place and valueAt are each other's inverse", () => {
  for (const source of [gap, bend, pads, trim]) {
    const s = scaleOf(source);
    for (const p of [0, 13, 30, 50, 70, 99, 140]) expect(place(s, valueAt(s, p))).toBeCloseTo(p, 9);
  }
});

it("graduations are whole steps of the quantity's own unit, every fifth of them long", () => {
  const lines = graduations(scaleOf(gap));
  const values = lines.map((l) => valueAt(scaleOf(gap), l.at) / 0.1);
  for (const v of values) expect(v).toBeCloseTo(Math.round(v), 6);
  const long = lines.filter((l) => l.long).map((l) => Math.round(valueAt(scaleOf(gap), l.at) / 0.1));
  for (const k of long) expect(k % 5).toBe(0);
  expect(graduationPath(scaleOf(gap), 26).split("M").length - 1).toBe(lines.length);
});
