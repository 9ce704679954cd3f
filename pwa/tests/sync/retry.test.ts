import { describe, expect, test } from "vitest";
import { localTime, readClock } from "../../src/sync/clock";
import { backoff, retryAfter } from "../../src/sync/retry";

describe("waiting", () => {
  test("doubles from 2 s to 5 min, with full jitter", () => {
    const longest = (failures: number) => backoff(failures, () => 1) / 1000;
    expect([1, 2, 3, 7, 8, 9, 60].map(longest)).toEqual([2, 4, 8, 128, 256, 300, 300]);
    expect(backoff(5, () => 0)).toBe(0);
    expect(backoff(5, () => 0.5)).toBe(16_000);
  });

  test.each([
    [null, null], ["", null], ["120", 120_000], ["0", 0], ["nonsense", null],
    ["Wed, 21 Oct 2026 07:28:30 GMT", 30_000], ["Wed, 21 Oct 2026 07:27:00 GMT", 0], ["999999", 3_600_000],
  ])("Retry-After %s (RFC 9110, 10.2.3)", (header, ms) => {
    expect(retryAfter(header, Date.parse("2026-10-21T07:28:00Z"))).toBe(ms);
  });
});

describe("the phone's clock", () => {
  test("is compared half-way through the exchange", () => {
    const at = Date.parse("2026-05-01T10:00:00Z");
    expect(readClock(at, at + 200, "2026-05-01T10:01:00.100Z")).toEqual({ offset_ms: 60_000, round_trip_ms: 200, at: at + 200 });
  });

  test("says nothing where it was set back during the exchange, or the answer is no time", () => {
    expect(readClock(1000, 500, "2026-05-01T10:00:00Z")).toBeNull();
    expect(readClock(0, 1, "noon")).toBeNull();
  });

  test("writes its own zone, and the same moment", () => {
    const at = new Date("2026-05-01T10:00:00.123Z");
    expect(Date.parse(localTime(at))).toBe(at.getTime());
  });
});
