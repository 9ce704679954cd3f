/** An entry of which a number or a word was wrong: what of it can be typed anew, and the entry that then takes its place. */
import { toUnit, type Catalogue } from "../catalogue";
import { LIMITS } from "../limits";
import type { Entry, EntryDraft, ProblemBody } from "../nouns";
import { unitLabel } from "./entry_words";
import { absurdTorque, absurdTurn, implausible } from "./plausible";
import { NM } from "./torque_value";
import { typedNumber, wrong, type Limit } from "./typed";

export interface Part {
  pointer: string;
  label: string;
  unit: string;
  /** Which way a number turns. */
  ways?: string;
  was: number | string;
  limit: Limit;
}
/** A part that the service has found fault with, in its words. */
export interface FaultyPart extends Part { words: string }

const LABELS: Record<string, string> = {
  value: "Value", low: "Goes", high: "Does not go", amount: "Turned", applied: "Torque", target: "Maker's figure", gap_mm: "Gap", odometer_km: "Kilometres",
  cog: "Cog", ring: "Ring", text: "Words", work: "Words", note: "Note", count_in_ten_turns: "Counted in ten pedal turns",
};
const OWN_UNITS: Record<string, string> = { gap_mm: "mm", odometer_km: "km", adapter_mm: "mm", wrench_mm: "mm", angle_deg: "°" };
const IN_ITS_UNIT = ["value", "low", "high", "amount", "applied", "target"];
/** Texts that are a person's own; all others name something of the catalogue. */
const FREE = ["text", "work", "note"];
/** What a torque may be at most, the catalogue says. */
const ALLOWED: Record<string, Limit> = {
  applied: { above: 0 }, target: { above: 0 }, gap_mm: LIMITS.Tip.gap_mm, count_in_ten_turns: LIMITS.NoiseData.count_in_ten_turns,
  text: LIMITS.RemarkData.text, work: LIMITS.DeclinedData.work, note: LIMITS.ReadingEntry.note, odometer_km: LIMITS.ReadingEntry.odometer_km,
};

const stepsOf = (pointer: string): string[] => pointer.split("/").slice(1);
const nameOf = (pointer: string): string => stepsOf(pointer).at(-1) ?? "";

function at(entry: unknown, pointer: string): unknown {
  return stepsOf(pointer).reduce<unknown>((part, step) => (part as Record<string, unknown> | undefined)?.[step], entry);
}

function partAt(cat: Catalogue, entry: Entry, pointer: string): Part | null {
  const [name, was] = [nameOf(pointer), at(entry, pointer)];
  if (typeof was !== "number" && !(typeof was === "string" && FREE.includes(name))) return null;
  const unit = "unit" in entry.data && IN_ITS_UNIT.includes(name) ? unitLabel(cat, entry.data.unit) : "";
  return { pointer, was, label: LABELS[name] ?? name.replaceAll("_", " "), unit: OWN_UNITS[name] ?? unit, limit: ALLOWED[name] ?? {} };
}

/** The numbers and words that the service has found fault with. */
export function partsAtFault(cat: Catalogue, entry: Entry, problem: ProblemBody | undefined): FaultyPart[] {
  return (problem?.errors ?? []).flatMap(({ pointer, detail }) => {
    const part = partAt(cat, entry, pointer);
    return part ? [{ ...part, words: detail }] : [];
  });
}

/** What of an entry a person has typed, and may have typed wrong; where there is none, it is undone and logged again. */
export function partsTyped(cat: Catalogue, entry: Entry): Part[] {
  const named = (...names: string[]) => names.map((name) => partAt(cat, entry, `/data/${name}`)).filter((part) => part !== null);
  switch (entry.kind) {
    case "reading": {
      if (!("tips" in entry.data)) return named("value", "low", "high");
      return entry.data.tips.map(({ clock }, i) => ({ ...partAt(cat, entry, `/data/tips/${i}/gap_mm`)!, label: `Gap at ${clock} o'clock` }));
    }
    case "adjustment": {
      const adjuster = cat.adjusters.find((one) => one.id === entry.data.adjuster);
      if (!adjuster || adjuster.id === "none") return [];
      return named("amount").map((part) => ({ ...part, ways: `+ ${adjuster.positive}, − ${adjuster.negative}` }));
    }
    case "torque": return named("applied", "target");
    case "noise": return named("count_in_ten_turns");
    case "remark": return named("text");
    case "declined": return named("work");
    default: return [];
  }
}

/** The reason, with the name of what is at fault where the service gives only its limits. */
export function reasonOf(cat: Catalogue, entry: Entry, problem: ProblemBody | undefined): string {
  const named = partsAtFault(cat, entry, problem).map((part) => (/^Must /.test(part.words) ? `${part.label}: ${part.words}` : part.words));
  return named.join(" ") || (problem?.detail ?? problem?.title ?? "No reason was given.");
}

/** What is wrong with the parts as they are typed now, by pointer, as far as the phone can tell. */
export function wrongParts(cat: Catalogue, entry: Entry, parts: readonly Part[], texts: Readonly<Record<string, string>>): Record<string, string> {
  const found = parts.map((part) => [part.pointer, wrongPart(cat, entry, part, texts[part.pointer]!)] as const).filter(isWrong);
  if (found.length) return Object.fromEntries(found);
  const { data } = writtenAnew(entry, parts, texts);
  return "low" in data && data.low >= data.high ? { "/data/high": "What does not go is thicker than what goes." } : {};
}

const isWrong = (one: readonly [string, string | null]): one is [string, string] => one[1] !== null;

function wrongPart(cat: Catalogue, entry: Entry, { label, unit, was, pointer, limit }: Part, text: string): string | null {
  if (!text.trim()) return `${label}: write what it should have been.`;
  const odd = wrong({ label, unit, limit }, text);
  if (odd || typeof was === "string") return odd;
  const value = typedNumber(text)!;
  const quantity = entry.kind === "reading" ? cat.quantities.find((q) => q.id === entry.data.quantity) : undefined;
  if (quantity && ["value", "low", "high"].includes(nameOf(pointer)) && "unit" in entry.data) return implausible(cat, quantity, toUnit(cat, value, entry.data.unit, quantity.unit));
  if (entry.kind === "adjustment" && nameOf(pointer) === "amount") {
    const own = cat.adjusters.find((one) => one.id === entry.data.adjuster)?.unit ?? entry.data.unit;
    return absurdTurn(cat, toUnit(cat, value, entry.data.unit, own), own);
  }
  return entry.kind === "torque" && ["applied", "target"].includes(nameOf(pointer)) ? absurdTorque(cat, toUnit(cat, value, entry.data.unit, NM)) : null;
}

/** The same entry, of the same moment, with what was typed. */
export function writtenAnew(entry: Entry, parts: readonly Part[], texts: Readonly<Record<string, string>>): EntryDraft {
  const { id: _id, job_id: _job, device_seq: _seq, ...draft } = structuredClone(entry);
  for (const { pointer, was } of parts) {
    const steps = stepsOf(pointer);
    const holder = steps.slice(0, -1).reduce<unknown>((part, step) => (part as Record<string, unknown>)[step], draft) as Record<string, unknown>;
    const text = texts[pointer]!.trim();
    holder[steps.at(-1)!] = typeof was === "number" ? typedNumber(text) : text;
  }
  return draft as EntryDraft;
}
