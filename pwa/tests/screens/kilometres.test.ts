import { beforeEach, expect, it, vi } from "vitest";
import { keepKm, kmFault, parseKm, withKm } from "../../src/screens/kilometres";

const kept = new Map<string, string>();
beforeEach(() => {
  kept.clear();
  vi.stubGlobal("localStorage", { getItem: (k: string) => kept.get(k) ?? null, setItem: (k: string, v: string) => kept.set(k, v) });
});

it("reads a counter as it is typed, in either way of writing", () =>
  expect(["640", "640,5", "640.5", " 12,5 ", "1234,56", "", "abc", "-3", "1e3", "12 km", "1,234,567", "9999999"].map(parseKm))
    .toEqual([640, 640.5, 640.5, 12.5, 1234.56, null, null, null, null, null, null, null]));

it("a comma or point before three digits could part thousands or decimals (common practice: both are written): it is asked", () => {
  expect(["1,234", "1.234", "12,345", "0.500"].map(parseKm)).toEqual([null, null, null, 0.5]);
  expect(kmFault("12,345")).toContain("Write thousands without a comma or point: 12345.");
  expect(["12,34", "12345", "12345,678", ""].map(kmFault)).toEqual([null, null, null, null]);
});

it("what is no number is named", () => expect(kmFault("12km")).toContain("“12km” is no number"));

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
