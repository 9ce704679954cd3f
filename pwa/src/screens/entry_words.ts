/** An entry in the words of the trade, from the catalogue's labels. */
import type { Catalogue } from "../catalogue";
import { count, num } from "../look/number";
import type { Entry, Gear } from "../nouns";

export const OUTCOME_WORDS = { passed: "passed", failed: "failed", not_done: "not done" } as const;
export const EFFECT_WORDS = { better: "better", same: "same", worse: "worse" } as const;

const find = <T extends { id: string }>(list: readonly T[], id: string): T | undefined => list.find((x) => x.id === id);
export const labelOf = (list: readonly { id: string; label: string }[], id: string): string => find(list, id)?.label ?? id;

export function unitLabel(cat: Catalogue, unit: string): string {
  return labelOf(cat.units, unit);
}

export function gearWords(gear: Gear): string {
  return `${gear.ring} × ${gear.cog}`;
}

/** "2 inboard", "1 outboard", "0". Steps are bare, other units are named. */
export function turnedWords(cat: Catalogue, adjuster: string, amount: number, unit: string): string {
  const a = find(cat.adjusters, adjuster);
  if (!amount || !a) return "0";
  const way = amount > 0 ? a.positive : a.negative;
  const size = num(Math.abs(amount), 2);
  return unit === "step" ? `${size} ${way}` : `${size} ${unitLabel(cat, unit)} ${way}`;
}

/** What it is about, and what was written down of it. */
export function entryWords(cat: Catalogue, e: Entry): { what: string; said: string } {
  const gear = e.gear ? `, ${gearWords(e.gear)}` : "";
  switch (e.kind) {
    case "reading": {
      const q = find(cat.quantities, e.data.quantity);
      const what = q?.label ?? e.data.quantity;
      if ("tips" in e.data) return { what, said: e.data.tips.map((t) => `${num(t.gap_mm)} at ${num(t.clock)}`).join(", ") };
      const unit = unitLabel(cat, e.data.unit);
      if ("low" in e.data) return { what, said: `${num(e.data.low)} goes, ${num(e.data.high)} ${unit} does not${gear}` };
      return { what, said: `${num(e.data.value, 3, q?.signed)} ${unit}${gear}` };
    }
    case "adjustment": {
      const a = find(cat.adjusters, e.data.adjuster);
      const effect = e.data.effect ? `, it got ${e.data.effect === "same" ? "no different" : e.data.effect}` : "";
      const because = e.data.because ? `, because it ${labelOf(cat.symptoms, e.data.because)}` : "";
      if (e.data.adjuster === "none") return { what: a?.label ?? "Nothing needed", said: `${gear}${because}`.replace(/^, /, "") };
      return { what: a?.label ?? e.data.adjuster, said: `${turnedWords(cat, e.data.adjuster, e.data.amount, e.data.unit)}${gear}${because}${effect}` };
    }
    case "shift_check":
      return { what: "Shift", said: `${gearWords(e.data.from)} to ${gearWords(e.data.to)}: ${labelOf(cat.outcomes, e.data.outcome)}` };
    case "noise": {
      const when = e.data.when.map((w) => labelOf(cat.whens, w)).join(", ");
      const n = e.data.count_in_ten_turns;
      return { what: "Noise", said: `${labelOf(cat.sounds, e.data.sound)}${when ? `, ${when}` : ""}${n === undefined ? "" : `, ${num(n)} in ten turns`}${e.data.taps_ms ? `, tapped ${count(e.data.taps_ms.length, "time")}` : ""}${gear}` };
    }
    case "torque":
      return { what: labelOf(cat.fasteners, e.data.fastener), said: `${num(e.data.applied)} ${unitLabel(cat, e.data.unit)}${e.data.adapter_mm ? `, through an adapter of ${num(e.data.adapter_mm)} mm` : ""}` };
    case "check":
      return { what: labelOf(cat.checks, e.data.check), said: OUTCOME_WORDS[e.data.outcome] };
    case "declined":
      return { what: "Advised, not wanted", said: e.data.work };
    case "remark":
      return { what: "Remark", said: e.data.text };
    case "void":
      return { what: "Taken back", said: "" };
    default:
      return { what: (e as Entry).kind.replaceAll("_", " "), said: "written by a newer app" };
  }
}
