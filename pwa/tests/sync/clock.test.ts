import { describe, expect, test } from "vitest";
import { savedBefore } from "../../src/store/clock";
import type { HeldEntry } from "../../src/store/database";

const DAY = 86_400_000;
const NOW = Date.parse("2026-05-04T12:00:00Z");

/** Entries saved at these moments of the phone's clock, numbered from `first`. */
const held = (moments: number[], first = 1) =>
  moments.map((saved_at, i) => ({ device_seq: first + i, saved_at }) as HeldEntry);
/** A reading of a clock that is `ahead`, taken at `at` of that clock. */
const reading = (at: number, ahead: number, next_seq = 1) => ({ at, offset_ms: -ahead || 0, round_trip_ms: 10, next_seq });
const seqs = (entries: HeldEntry[]) => entries.map((entry) => entry.device_seq);

describe("the place where the clock was set", () => {
  const minutes = (...of: number[]) => of.map((n) => NOW + n * 60_000);

  test.each([["one day back", -DAY], ["one year ahead", 365 * DAY]])("%s, between two saves", (_, set) => {
    const saved = [...minutes(1, 2), ...minutes(3, 4).map((at) => at + set)];
    expect(seqs(savedBefore(held(saved), reading(NOW, 0), reading(minutes(5)[0]! + set, set)))).toEqual([1, 2]);
  });

  test.each([["one day back", -DAY], ["one year ahead", 365 * DAY]])("%s, before the first save or after the last", (_, set) => {
    const now = reading(minutes(5)[0]! + set, set);
    expect(savedBefore(held(minutes(1, 2).map((at) => at + set)), reading(NOW, 0), now)).toEqual([]);
    expect(seqs(savedBefore(held(minutes(1, 2)), reading(NOW, 0), now))).toEqual([1, 2]);
    expect(savedBefore([], reading(NOW, 0), now)).toEqual([]);
  });

  test("set right again", () => {
    const saved = [...minutes(1).map((at) => at - DAY), ...minutes(2)];
    expect(seqs(savedBefore(held(saved), reading(NOW - DAY, -DAY), reading(minutes(5)[0]!, 0)))).toEqual([1]);
  });

  test("what was saved before the reading before is never after the jump, however long it has waited", () => {
    const waiting = [NOW - 3 * DAY, NOW - 60_000];
    const saved = [...waiting, ...minutes(1).map((at) => at - DAY)];
    expect(seqs(savedBefore(held(saved), reading(NOW, 0, 3), reading(minutes(2)[0]! - DAY, -DAY)))).toEqual([1, 2]);
  });

  test("set back by less than the phone was left alone for shows nowhere: before all of them", () => {
    expect(savedBefore(held(minutes(60, 120)), reading(NOW, 0), reading(minutes(180)[0]!, -60_000))).toEqual([]);
  });
});
