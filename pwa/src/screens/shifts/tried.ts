/** Shifts that were tried, and how each went last. */
import type { Catalogue } from "../../catalogue";
import { count } from "../../look/number";
import type { Entry, EntryOf, Gear, Stage } from "../../nouns";
import { gearWords, labelOf } from "../entry_words";

export type ShiftCheck = EntryOf<"shift_check">;

export const shiftKey = (from: Gear, to: Gear): string => `${from.ring}x${from.cog}>${to.ring}x${to.cog}`;

/** The newest check of each shift, of entries that stand and are in order. */
export function tried(standing: readonly Entry[], stages: readonly Stage[]): Map<string, ShiftCheck> {
  const checks = standing.filter((e): e is ShiftCheck => e.kind === "shift_check" && stages.includes(e.stage));
  return new Map(checks.map((e) => [shiftKey(e.data.from, e.data.to), e]));
}

/** Those that did not go cleanly the last time. */
export const notClean = (found: ReadonlyMap<string, ShiftCheck>): ShiftCheck[] => [...found.values()].filter((e) => e.data.outcome !== "clean");

/** "46 × 15 to 46 × 17: hesitates" */
export const shiftWords = (cat: Catalogue, { data }: ShiftCheck): string => `${gearWords(data.from)} to ${gearWords(data.to)}: ${labelOf(cat.outcomes, data.outcome)}`;

/** "3 shifts tried, 2 clean. 46 × 15 to 46 × 17: hesitates."; nothing where none was tried. */
export function triedWords(cat: Catalogue, found: ReadonlyMap<string, ShiftCheck>): string {
  if (!found.size) return "";
  const bad = notClean(found);
  const words = bad.map((e) => ` ${shiftWords(cat, e)}.`);
  return `${count(found.size, "shift")} tried, ${bad.length ? `${found.size - bad.length} clean` : found.size > 1 ? "all clean" : "clean"}.${words.join("")}`;
}
