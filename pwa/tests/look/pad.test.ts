import { describe, expect, it } from "vitest";
import { keyFor, nudge, parsePad, press } from "../../src/look/pad";

const type = (keys: string[], from = "") => keys.reduce(press, from);

describe("the keypad", () => {
  it("types a number", () => expect(type(["5", ".", "2"])).toBe("5.2"));
  it("puts a zero before a leading point", () => expect(type([".", "4", "5"])).toBe("0.45"));
  it("takes one point only", () => expect(type(["1", ".", ".", "5"])).toBe("1.5"));
  it("has no idle leading zero", () => expect(type(["0", "7"])).toBe("7"));
  it("changes the sign and back", () => expect([type(["±", "0", ".", "5"]), type(["5", "±", "±"])]).toEqual(["−0.5", "5"]));
  it("deletes, the sign with the last digit", () => expect([type(["5", "2", "Delete"]), type(["±", "5", "Delete"])]).toEqual(["5", ""]));
  it("reads what was typed, nothing before there is a digit", () => expect([parsePad("−0.5"), parsePad(""), parsePad("−"), parsePad("12.")]).toEqual([-0.5, null, null, 12]));
  it("goes in round steps from the last value", () => expect([nudge("5.2", 0.1, 1), nudge("", 0.1, 1, 5), nudge("0.05", 0.05, -1), nudge("", 1, -1, 0)]).toEqual(["5.3", "5.1", "0", "−1"]));
  it("holds no endless number", () => expect(type("1234567890123".split("")).length).toBeLessThanOrEqual(9));
});

describe("a gauge that types like a keyboard", () => {
  it("may write a comma or a point, and a minus where the quantity has a sign", () =>
    expect([",", ".", "-", "−"].map((key) => keyFor(key, true))).toEqual([".", ".", "±", "±"]));
  it("is not heard where it sends what is no figure", () =>
    expect(["a", " ", "+", "F5", "Shift", "e", "-"].map((key) => keyFor(key, false))).toEqual(Array(7).fill(null)));
  it("ends a number with Enter", () => expect(keyFor("Enter", false)).toBe("Enter"));
});
