import { describe, expect, it } from "vitest";
import type { Entry } from "../../src/nouns";
import { entryWords, turnedWords } from "../../src/screens/entry_words";
import { catalogue } from "../catalogue_source";

const words = (kind: string, data: object, more: object = {}) => Object.values(entryWords(catalogue, { kind, data, ...more } as Entry)).join(" ");

describe("an entry in words", () => {
  it.each([
    ["reading", { quantity: "cage_alignment", value: 0.8, unit: "mm" }, {}, "Cage alignment +0.8 mm"],
    ["reading", { quantity: "guide_pulley_gap", low: 5, high: 5.5, unit: "mm" }, { gear: { ring: 33, cog: 36 } }, "Guide pulley gap 5 goes, 5.5 mm does not, 33 × 36"],
    ["adjustment", { adjuster: "rear_trim", amount: -2, unit: "step", because: "rubs", effect: "better" }, {}, "Rear fine position 2 outboard, because it rubs, it got better"],
    ["adjustment", { adjuster: "none", amount: 0, unit: "step" }, { gear: { ring: 33, cog: 17 } }, "Nothing needed 33 × 17"],
    ["noise", { sound: "tick", when: ["under_load"], count_in_ten_turns: 10 }, {}, "Noise tick, under load, 10 in ten turns"],
    ["noise", { sound: "tick", when: [], taps_ms: [0, 700, 1400, 2100] }, {}, "Noise tick, tapped 4 times"],
    ["torque", { fastener: "pedal", applied: 40, unit: "N·m" }, {}, "Pedals 40 N·m"],
    ["torque", { fastener: "pedal", applied: 36.2, unit: "N·m", wrench_mm: 380, adapter_mm: 40 }, {}, "Pedals 36.2 N·m, through an adapter of 40 mm"],
    ["check", { check: "brake_hold", outcome: "failed" }, {}, "Brakes bite and hold failed"],
    ["shift_check", { from: { ring: 33, cog: 17 }, to: { ring: 33, cog: 19 }, outcome: "clean" }, {}, "Shift 33 × 17 to 33 × 19: clean"],
    ["remark", { text: "as agreed" }, {}, "Remark as agreed"],
  ])("%s", (kind, data, more, said) => expect(words(kind, data, more)).toBe(said));
  it("an id the catalogue does not know is shown as it is", () => expect(words("reading", { quantity: "newer", value: 1, unit: "mm" })).toBe("newer 1 mm"));
  it("quarter turns are named", () => expect(turnedWords(catalogue, "barrel", 0.5, "turn")).toBe("0.5 turn inboard"));
});
