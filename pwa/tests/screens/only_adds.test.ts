/** What is written anew without taking anything back shows once among what was written down. */
import { expect, it } from "vitest";
import type { Entry } from "../../src/nouns";
import { onlyAdds } from "../../src/screens/job/only_adds";

const entry = (kind: string, data: object, more: object = {}): Entry =>
  ({ id: "e1", job_id: "j", device_seq: 1, stage: "bench", taken_at: "2026-03-05T09:00:00+01:00", kind, data, ...more }) as Entry;
const again = (older: Entry, more: object = {}): Entry => ({ ...older, id: "e2", device_seq: 2, replaces: "e1", ...more }) as Entry;

const remark = entry("remark", { text: "Paint chipped." }, { photos: ["a"], note: "left side" });
const turned = entry("adjustment", { adjuster: "rear_trim", amount: 1, unit: "step", because: "rubs" }, { gear: { ring: 46, cog: 17 } });

it.each<[string, Entry, object, boolean]>([
  ["a photo", remark, { photos: ["a", "b"] }, true],
  ["what a turning did", turned, { data: { ...turned.data, effect: "better" } }, true],
  ["what the service adds to it", remark, { seq: 9, replaced_by: ["e3"] }, true],
  ["other words", remark, { data: { text: "Paint scratched." }, photos: ["a", "b"] }, false],
  ["another amount", turned, { data: { ...turned.data, amount: 2 } }, false],
  ["without its photo", remark, { photos: [] }, false],
  ["without its note", remark, { note: undefined }, false],
  ["another gear", turned, { gear: { ring: 46, cog: 19 } }, false],
])("%s", (_, older, change, adds) => expect(onlyAdds(older, again(older, change))).toBe(adds));
