/** What of an entry can be typed anew, and what is said of it before it is written. */
import { describe, expect, it } from "vitest";
import type { Entry } from "../../src/nouns";
import { partsTyped, wrongParts, writtenAnew } from "../../src/screens/rewrite";
import { catalogue } from "../catalogue_source";

const entry = (kind: string, data: object): Entry =>
  ({ id: "e1", job_id: "j", device_seq: 1, stage: "bench", taken_at: "2026-03-05T09:00:00+01:00", note: "as it stood", kind, data }) as Entry;

const torque = entry("torque", { fastener: "stem_steerer", applied: 5, unit: "N·m", target: 6 });
const leaf = entry("reading", { quantity: "cage_height_gap", low: 1, high: 1.5, unit: "mm" });
const turned = entry("adjustment", { adjuster: "rear_trim", amount: 2, unit: "step" });
const tips = entry("reading", { quantity: "hanger_deviation", tips: [{ clock: 12, gap_mm: 10 }, { clock: 6, gap_mm: 9 }] });

const TYPED: [string, Entry, string[]][] = [
  ["a value", entry("reading", { quantity: "cage_height_gap", value: 1, unit: "mm" }), ["/data/value"]],
  ["two feelers", leaf, ["/data/low", "/data/high"]],
  ["the tips of the hanger", tips, ["/data/tips/0/gap_mm", "/data/tips/1/gap_mm"]],
  ["a turning", turned, ["/data/amount"]],
  ["nothing needed", entry("adjustment", { adjuster: "none", amount: 0, unit: "step" }), []],
  ["a torque and its figure", torque, ["/data/applied", "/data/target"]],
  ["a noise that was counted", entry("noise", { sound: "click", when: [], count_in_ten_turns: 0 }), ["/data/count_in_ten_turns"]],
  ["a noise that was not", entry("noise", { sound: "click", when: [] }), []],
  ["a check", entry("check", { check: "brakes_hold", outcome: "passed" }), []],
  ["a remark", entry("remark", { text: "Scratch" }), ["/data/text"]],
  ["declined work", entry("declined", { work: "New pads" }), ["/data/work"]],
];

describe.each(TYPED)("%s", (_, one, pointers) => {
  const parts = partsTyped(catalogue, one);
  it("names what was typed", () => expect(parts.map((part) => part.pointer)).toEqual(pointers));
  it("is the same when the same is typed", () => {
    const { id: _id, job_id: _job, device_seq: _seq, ...draft } = one;
    expect(writtenAnew(one, parts, Object.fromEntries(parts.map((part) => [part.pointer, String(part.was)])))).toEqual(draft);
  });
});

it("says which way a turning counts", () => {
  const [part] = partsTyped(catalogue, turned);
  expect(part?.ways).toBe("+ inboard, − outboard");
});

it.each([
  [torque, { "/data/applied": "0", "/data/target": "6" }, { "/data/applied": "Torque: above 0 N·m, not 0." }],
  [torque, { "/data/applied": "500", "/data/target": "" }, { "/data/applied": "No fastener of a bike takes more than 300 N·m: is the point in its place?", "/data/target": "Maker's figure: write what it should have been." }],
  [turned, { "/data/amount": "-101" }, { "/data/amount": "Nobody turns it this far at one stop: at most 100 steps either way." }],
  [turned, { "/data/amount": "-100" }, {}],
  [leaf, { "/data/low": "2", "/data/high": "1.5" }, { "/data/high": "What does not go is thicker than what goes." }],
  [leaf, { "/data/low": "1.5", "/data/high": "1,75" }, {}],
  [tips, { "/data/tips/0/gap_mm": "900", "/data/tips/1/gap_mm": "9" }, { "/data/tips/0/gap_mm": "Gap at 12 o'clock: −200 to 500 mm, not 900." }],
])("%o with %o says %o", (one, texts, faults) => expect(wrongParts(catalogue, one, partsTyped(catalogue, one), texts)).toEqual(faults));
