import { beforeEach, expect, it, vi } from "vitest";
import { keepKm, parseKm, withKm } from "../../src/screens/kilometres";

const kept = new Map<string, string>();
beforeEach(() => {
  kept.clear();
  vi.stubGlobal("localStorage", { getItem: (k: string) => kept.get(k) ?? null, setItem: (k: string, v: string) => kept.set(k, v) });
});

it("reads a counter as it is typed, in either way of writing", () =>
  expect(["640", "640,5", "640.5", "", "abc", "-3"].map(parseKm)).toEqual([640, 640.5, 640.5, null, null, null]));

it("a reading of the job carries it, another job's does not", () => {
  keepKm("a", 640);
  const draft = { kind: "remark" as const, stage: "bench" as const, data: { text: "x" } };
  expect(withKm("a", draft)).toEqual({ ...draft, odometer_km: 640 });
  expect(withKm("b", draft)).toEqual(draft);
});

it("what an entry says itself stands", () => {
  keepKm("a", 640);
  expect(withKm("a", { odometer_km: 12 })).toEqual({ odometer_km: 12 });
});
