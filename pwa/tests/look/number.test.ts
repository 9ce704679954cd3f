import { describe, expect, it } from "vitest";
import { amount, count, digitsOf, list, num } from "../../src/look/number";

describe("numbers as they are read", () => {
  it.each([
    [1.4, 3, false, "1.4"], [0.45, 3, false, "0.45"], [5, 3, false, "5"], [-0.5, 3, false, "−0.5"], [0.8, 3, true, "+0.8"], [0, 3, true, "0"],
    [-0.0001, 2, true, "0"], [100, 0, false, "100"], [2.766, 1, false, "2.8"],
  ])("%s in %s digits is %s", (value, digits, signed, text) => expect(num(value, digits, signed)).toBe(text));
  it("steps need their own digits", () => expect([0.1, 0.05, 0.25, 1, 5].map(digitsOf)).toEqual([1, 2, 2, 0, 0]));
  it("counts", () => expect([count(1, "entry", "entries"), count(2, "entry", "entries"), count(3, "reading")]).toEqual(["1 entry", "2 entries", "3 readings"]));
  it("amounts: one is one, rounded, with a sign too", () => {
    expect([amount(1, 1, "step"), amount(0.96, 1, "step"), amount(-1, 1, "step", true), amount(1, 1, "step", true)]).toEqual(["1 step", "1 step", "−1 step", "+1 step"]);
    expect([amount(0, 1, "step"), amount(0.9, 1, "step"), amount(11, 0, "time"), amount(-2.1, 1, "step")]).toEqual(["0 steps", "0.9 steps", "11 times", "−2.1 steps"]);
  });
  it("lists", () => expect([list([]), list(["a"]), list(["a", "b"]), list(["a", "b", "c"])]).toEqual(["", "a", "a and b", "a, b and c"]));
});
