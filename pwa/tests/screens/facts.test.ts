import { describe, expect, it } from "vitest";
import type { Bike } from "../../src/nouns";
import { COGS, drivetrainWords, familiesOf, matches, parseTeeth, RINGS, sameTeeth } from "../../src/screens/bike/facts";
import { settle } from "../../src/screens/since_last";

const bike = (label: string, rings: number[], more: Partial<Bike> = {}): Bike => ({
  id: label, seq: 1, label, brakes: "disc", tyres: "tube", frame_number: "F-20417", serials: ["RD 88"],
  drivetrain: { rings, cogs: COGS[0]!.teeth, shifting: "electronic", rear_mount: "hanger", front_derailleur: rings.length > 1, suspension: false }, ...more,
});

describe("teeth", () => {
  it.each([["46, 33", [46, 33]], ["46/33", [46, 33]], ["10 11 12", [10, 11, 12]], ["", null], ["abc", null], ["5", null], ["46 46", [46]]])("%s", (text, teeth) =>
    expect(parseTeeth(text)).toEqual(teeth));
  it("compares without order", () => expect([sameTeeth([10, 9], [9, 10]), sameTeeth([10], [9])]).toEqual([true, false]));
  it("each preset is a set that can be typed", () => {
    for (const p of [...RINGS, ...COGS]) expect(parseTeeth(p.teeth.join(" "))).toEqual(p.teeth);
  });
});

describe("finding a bike by any word", () => {
  const b = bike("Grey all-road 54", [46, 33]);
  it.each(["grey", "54 ROAD", "f-20417", "rd 88", "electronic 12-speed", "46/33", "disc"])("%s", (query) => expect(matches(b, query)).toBe(true));
  it("every word must be there", () => expect(matches(b, "grey cable")).toBe(false));
});

it("a drivetrain in words", () => expect(drivetrainWords(bike("x", [33, 46]).drivetrain)).toBe("46/33 × 10–36, 12-speed, electronic"));

it("families of this shop, the commonest first", () => {
  const found = familiesOf([bike("a", [40]), bike("b", [46, 33]), bike("c", [46, 33])]);
  expect(found.map((f) => f.rings)).toEqual([[46, 33], [40]]);
});

describe("what happened since the last visit", () => {
  it("nothing known takes the rest away", () => expect(settle(["fall", "nothing_known"], ["fall"])).toEqual(["nothing_known"]));
  it("an event takes nothing known away", () => expect(settle(["nothing_known", "wash"], ["nothing_known"])).toEqual(["wash"]));
  it("taking one back leaves the others", () => expect(settle(["wash"], ["wash", "fall"])).toEqual(["wash"]));
});
