import { describe, expect, it } from "vitest";
import { LIMITS } from "../../src/limits";
import { faultsOf, typedNumber, wrong, wrongOnes } from "../../src/screens/typed";

describe("numbers in a form", () => {
  it.each([["", null], [" 5,2 ", 5.2], ["−0.5", -0.5], ["+1", 1], [".5", 0.5], ["5.", 5]])("%s is %s", (text, value) => expect(typedNumber(text)).toBe(value));
  it.each(["wide", "1.2.3", "5 mm", "1e3", "--1"])("%s is no number", (text) => expect(typedNumber(text)).toBeNaN());
});

describe("what is wrong is said with the field's name and what would be right", () => {
  const { Drivetrain, Gauge, BikePut, TorqueData } = LIMITS;
  it.each([
    [{ label: "Chainstay", unit: "mm", limit: Drivetrain.chainstay_mm }, "abc", "Chainstay: “abc” is no number. Right is 200 to 1000 mm."],
    [{ label: "Chainstay", unit: "mm", limit: Drivetrain.chainstay_mm }, "-5", "Chainstay: 200 to 1000 mm, not -5."],
    [{ label: "Capacity", unit: "teeth", limit: Drivetrain.rear_capacity }, "3,5", "Capacity: a whole number, 0 to 200 teeth, not 3,5."],
    [{ label: "Adapter", unit: "mm", limit: TorqueData.adapter_mm }, "2000", "Adapter: −1000 to 1000 mm, not 2000."],
    [{ label: "Smallest step", limit: Gauge.resolution }, "0", "Smallest step: above 0, not 0."],
    [{ label: "Expanded uncertainty", limit: Gauge.expanded_uncertainty }, "-1", "Expanded uncertainty: 0 or more, not -1."],
    [{ label: "Target", unit: "N·m", limit: TorqueData.target }, "0", "Target: above 0, up to 100000 N·m, not 0."],
    [{ label: "From", limit: Gauge.lowest }, "99999999999", "From: 99999999999 is far too much."],
    [{ label: "From", limit: Gauge.lowest }, "low", "From: “low” is no number."],
    [{ label: "Frame number", limit: BikePut.frame_number }, "F".repeat(81), "Frame number: 80 characters at most, not 81."],
  ])("%o: %s", (asked, text, words) => expect(wrong(asked, text)).toBe(words));
  it.each([["", null], ["200", null], [" 1000 ", null], ["415,5", null]])("%s may stand there", (text) =>
    expect(wrong({ label: "Chainstay", limit: Drivetrain.chainstay_mm }, text)).toBeNull());
  it("a character outside the basic plane counts once, as the contract counts", () => {
    expect(wrong({ label: "Name", limit: { longest: 2 } }, "🚲🚲")).toBeNull();
  });
  it("of a form only the faulty fields are named", () => {
    const asked = { lower: { label: "Lower", limit: {} }, upper: { label: "Upper", limit: {} } };
    expect(wrongOnes(asked, { lower: "1", upper: "wide" })).toEqual({ upper: "Upper: “wide” is no number." });
  });
});

it("the service's pointer names the field", () => {
  const problem = { title: "", errors: [{ pointer: "/gauges/0/highest", detail: "too low" }, { pointer: "/serials/3", detail: "too long" }] };
  expect(faultsOf(problem)).toEqual({ highest: "too low", serials: "too long" });
  expect(faultsOf(undefined)).toEqual({});
});
