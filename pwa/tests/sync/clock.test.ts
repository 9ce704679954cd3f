import { describe, expect, test } from "vitest";
import { offsetsThen } from "../../src/store/clock";
import type { HeldEntry } from "../../src/store/database";

const DAY = 86_400_000;
const NOW = Date.parse("2026-05-04T12:00:00Z");

/** Entries saved at these moments of the phone's clock, numbered from `first`. */
const held = (moments: number[], first = 1) =>
  moments.map((saved_at, i) => ({ device_seq: first + i, saved_at }) as HeldEntry);
/** A reading of a clock that is `ahead`, taken at `at` of that clock. */
const reading = (at: number, ahead: number, next_seq = 1) => ({ at, offset_ms: -ahead || 0, round_trip_ms: 10, next_seq });

describe("what the clock was off by at each save", () => {
  const minutes = (...of: number[]) => of.map((n) => NOW + n * 60_000);
  const STEADY = 5_000;
  /** Which of the entries, in device order, does it take to have been saved before the clock was set? */
  const before = (entries: HeldEntry[], was: ReturnType<typeof reading>, now: ReturnType<typeof reading>) => {
    const offsets = offsetsThen(entries, was, now);
    for (const offset of offsets) expect([was.offset_ms, now.offset_ms]).toContain(offset);
    return entries.filter((_, i) => offsets[i] === was.offset_ms).map((entry) => entry.device_seq);
  };

  test.each([["one day back", -DAY], ["one year ahead", 365 * DAY]])("%s, between two saves", (_, set) => {
    const saved = [...minutes(1, 2), ...minutes(3, 4).map((at) => at + set)];
    expect(before(held(saved), reading(NOW, 0), reading(minutes(5)[0]! + set, set))).toEqual([1, 2]);
  });

  test.each([["one day back", -DAY], ["one year ahead", 365 * DAY]])("%s, before the first save or after the last", (_, set) => {
    const now = reading(minutes(5)[0]! + set, set);
    expect(before(held(minutes(1, 2).map((at) => at + set)), reading(NOW, 0), now)).toEqual([]);
    expect(before(held(minutes(1, 2)), reading(NOW, 0), now)).toEqual([1, 2]);
    expect(before([], reading(NOW, 0), now)).toEqual([]);
  });

  test("set right again", () => {
    const saved = [...minutes(1).map((at) => at - DAY), ...minutes(2)];
    expect(before(held(saved), reading(NOW - DAY, -DAY), reading(minutes(5)[0]!, 0))).toEqual([1]);
  });

  test("what was saved before the reading before is never after the jump, however long it has waited", () => {
    const waiting = [NOW - 3 * DAY, NOW - 60_000];
    const saved = [...waiting, ...minutes(1).map((at) => at - DAY)];
    expect(before(held(saved), reading(NOW, 0, 3), reading(minutes(2)[0]! - DAY, -DAY))).toEqual([1, 2]);
  });

  test("set back by less than the phone was left alone for shows nowhere: before all of them", () => {
    expect(before(held(minutes(60, 120)), reading(NOW, 0), reading(minutes(180)[0]!, -60_000))).toEqual([]);
  });

  test("not set at all, however long the phone was left alone", () => {
    expect(offsetsThen(held(minutes(60, 600)), reading(NOW, 0), reading(minutes(4000)[0]!, 0))).toEqual([0, 0]);
  });

  test.each([
    ["a day back, then right", [0, -DAY, 0]],
    ["a year ahead, then right", [0, 365 * DAY, 0]],
    ["a day back, then a year ahead", [0, -DAY, 365 * DAY]],
    ["a year ahead, then a day back", [0, 365 * DAY, -DAY]],
    ["right, then a day back", [3 * DAY, 0, -DAY]],
  ])("set twice: %s", (_, ahead) => {
    // Two saves by each of the three, a minute apart; then it is read again.
    const true_ = minutes(1, 2, 3, 4, 5, 6);
    const by = [0, 0, 1, 1, 2, 2].map((place) => ahead[place]!);
    const now = reading(minutes(7)[0]! + ahead[2]!, ahead[2]!);
    const offsets = offsetsThen(held(true_.map((at, i) => at + by[i]!)), reading(NOW + ahead[0]!, ahead[0]!), now);
    const found = true_.map((at, i) => at + by[i]! + offsets[i]!);
    // In order and clearly apart, and no further from the truth than half of what passed between two saves.
    found.slice(1).forEach((at, i) => expect(at - found[i]!).toBeGreaterThan(25_000));
    found.forEach((at, i) => expect(Math.abs(at - true_[i]!)).toBeLessThanOrEqual(30_000 + STEADY));
    expect(found.filter((_, i) => i < 2 || i > 3)).toEqual(true_.filter((_, i) => i < 2 || i > 3));
  });
});
