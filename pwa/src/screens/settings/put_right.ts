/** An entry that the service would not take: what of it can be typed anew, and the entry that then takes its place. */
import type { Catalogue } from "../../catalogue";
import { unitLabel } from "../entry_words";
import { implausible, absurdTorque } from "../plausible";
import { toUnit } from "../../catalogue";
import type { Entry, EntryDraft, ProblemBody } from "../../nouns";
import { NM } from "../torque_value";
import { typedNumber, wrong } from "../typed";

export interface Part { pointer: string; label: string; unit: string; was: number | string; words: string }

const LABELS: Record<string, string> = {
  value: "Value", low: "Goes", high: "Does not go", amount: "Turned", applied: "Torque", target: "Maker's figure", gap_mm: "Gap", odometer_km: "Kilometres",
  cog: "Cog", ring: "Ring", text: "Words", work: "Words", note: "Note",
};
const OWN_UNITS: Record<string, string> = { gap_mm: "mm", odometer_km: "km", adapter_mm: "mm", wrench_mm: "mm", angle_deg: "°" };
const IN_ITS_UNIT = ["value", "low", "high", "amount", "applied", "target"];
/** Texts that are a person's own; all others name something of the catalogue. */
const FREE = ["text", "work", "note"];

const stepsOf = (pointer: string): string[] => pointer.split("/").slice(1);
const nameOf = (pointer: string): string => stepsOf(pointer).at(-1) ?? "";

function at(entry: unknown, pointer: string): unknown {
  return stepsOf(pointer).reduce<unknown>((part, step) => (part as Record<string, unknown> | undefined)?.[step], entry);
}

/** The numbers and words that the service has found fault with. */
export function partsOf(cat: Catalogue, entry: Entry, problem: ProblemBody | undefined): Part[] {
  const unit = "unit" in entry.data ? unitLabel(cat, entry.data.unit) : "";
  return (problem?.errors ?? []).flatMap(({ pointer, detail }) => {
    const [name, was] = [nameOf(pointer), at(entry, pointer)];
    if (typeof was !== "number" && !(typeof was === "string" && FREE.includes(name))) return [];
    return [{ pointer, was, label: LABELS[name] ?? name.replaceAll("_", " "), unit: OWN_UNITS[name] ?? (IN_ITS_UNIT.includes(name) ? unit : ""), words: detail }];
  });
}

/** The reason, with the name of what is at fault where the service gives only its limits. */
export function reasonOf(cat: Catalogue, entry: Entry, problem: ProblemBody | undefined): string {
  const named = partsOf(cat, entry, problem).map((part) => (/^Must /.test(part.words) ? `${part.label}: ${part.words}` : part.words));
  return named.join(" ") || (problem?.detail ?? problem?.title ?? "No reason was given.");
}

/** What is wrong with a part as it is typed now; null: nothing that the phone can tell. */
export function wrongPart(cat: Catalogue, entry: Entry, { label, unit, was, pointer }: Part, text: string): string | null {
  if (!text.trim()) return `${label}: write what it should have been.`;
  if (typeof was === "string") return null;
  const value = typedNumber(text);
  const odd = wrong({ label, unit, limit: {} }, text);
  if (odd || value === null) return odd;
  const quantity = entry.kind === "reading" ? cat.quantities.find((q) => q.id === entry.data.quantity) : undefined;
  if (quantity && ["value", "low", "high"].includes(nameOf(pointer)) && "unit" in entry.data) return implausible(cat, quantity, toUnit(cat, value, entry.data.unit, quantity.unit));
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
