import { describe, expect, it } from "vitest";
import type { Bike } from "../../src/nouns";
import { drivetrainWords, matches } from "../../src/screens/bike/facts";
import { COGS, familiesOf, RINGS } from "../../src/screens/bike/presets";
import { bikeOf, sameTeeth, teethOf, textsOf, wrongFacts } from "../../src/screens/bike/typed_facts";
import { lookedFor } from "../../src/screens/fold";
import { settle } from "../../src/screens/since_last";

const bike = (label: string, rings: number[], more: Partial<Bike> = {}): Bike => ({
  id: label, seq: 1, label, brakes: "disc", tyres: "tube", frame_number: "F-20417", serials: ["RD 88"],
  drivetrain: { rings, cogs: COGS[0]!.teeth, shifting: "electronic", rear_mount: "hanger", front_derailleur: rings.length > 1, suspension: false }, ...more,
});

describe("teeth", () => {
  it.each([["46, 33", [46, 33]], ["46/33", [46, 33]], [" 48 + 35 ", [48, 35]], ["40", [40]]])("%s", (text, teeth) => expect(teethOf(text, "Rings")).toEqual(teeth));
  it.each([
    ["Rings", "", "Rings: choose them, or type their teeth."],
    ["Rings", "46/abc", "Rings: “abc” is no number of teeth. Write each one, such as 46 33."],
    ["Cogs", "10-36", "Cogs: “10-36” is no number of teeth. Write each one, such as 11 13 15."],
    ["Cogs", "-5 11", "Cogs: “-5” is no number of teeth. Write each one, such as 11 13 15."],
    ["Cogs", "10 11 150", "Cogs: 1 to 120 teeth each, not 150."],
    ["Rings", "46 46", "Rings: 46 stands there twice."],
    ["Rings", "22 32 42 52", "Rings: 3 at most, not 4."],
  ] as const)("%s “%s” are not taken for something else", (part, text, words) => expect(teethOf(text, part)).toBe(words));
  it("compares without order", () => expect([sameTeeth([10, 9], [9, 10]), sameTeeth([10], [9])]).toEqual([true, false]));
  it("each preset is a set that can be typed", () => {
    for (const p of [...RINGS, ...COGS]) expect(teethOf(p.teeth.join(" "), "Cogs")).toEqual(p.teeth);
  });
});

describe("facts as they are typed", () => {
  const { seq: _seq, ...draft } = bike("Grey all-road 54", [46, 33], { serials: ["RD 88", "FD 12"], wheel: { bead_seat_mm: 622, circumference_mm: 2200 } });
  draft.drivetrain = { ...draft.drivetrain, chainstay_mm: 415.5, rear_capacity: 39 };
  const texts = textsOf(draft);
  it("come back as they were", () => {
    expect(wrongFacts(texts)).toEqual({});
    expect(bikeOf(draft, texts)).toEqual(draft);
  });
  it("what is emptied is gone, and a comma is a point", () => {
    const { drivetrain, frame_number, serials, wheel } = bikeOf(draft, { ...texts, chainstay_mm: "", trim_step_mm: "0,2", frame_number: " ", serials: "A 1, B 2,", circumference_mm: "" });
    expect([drivetrain.chainstay_mm, drivetrain.trim_step_mm, drivetrain.rear_capacity]).toEqual([undefined, 0.2, 39]);
    expect([frame_number, serials, wheel?.circumference_mm, wheel?.bead_seat_mm]).toEqual([undefined, ["A 1", "B 2"], undefined, 622]);
  });
  it.each([
    ["chainstay_mm", "abc", "Chainstay length: “abc” is no number. Right is 200 to 1000 mm."],
    ["chainstay_mm", "-5", "Chainstay length: 200 to 1000 mm, not -5."],
    ["rear_capacity", "39.5", "Rear derailleur's capacity: a whole number, 0 to 200 teeth, not 39.5."],
    ["circumference_mm", "22000", "Wheel circumference: 300 to 4000 mm, not 22000."],
    ["label", " ", "Give the bike a name the shop will know it by."],
    ["label", "x".repeat(121), "What the shop calls it: 120 characters at most, not 121."],
    ["serials", `A, ${"x".repeat(121)}`, "Serial numbers: 120 characters at most, not 121."],
    ["serials", Array.from({ length: 51 }, (_, i) => i).join(","), "Serial numbers: 50 at most, not 51."],
    ["cogs", "10 12 x", "Cogs: “x” is no number of teeth. Write each one, such as 11 13 15."],
  ])("%s: %s", (name, text, words) => expect(wrongFacts({ ...texts, [name]: text })).toEqual({ [name]: words }));
});

describe("finding a bike by any word", () => {
  const b = bike("Grey all-road 54", [46, 33]);
  it.each(["grey", "54 ROAD", "f-20417", "rd 88", "electronic 12-speed", "46/33", "disc"])("%s", (query) => expect(matches(b, lookedFor(query))).toBe(true));
  it("every word must be there", () => expect(matches(b, lookedFor("grey cable"))).toBe(false));
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
