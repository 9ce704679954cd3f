/** Bands in words: what they begin with, what the shop has set, and which of them judges now. */
import { facts, resolveBand, type Band, type Quantity, type When } from "../../catalogue";
import type { components } from "../../contract";
import { list, num } from "../../look/number";
import type { Bike } from "../../nouns";
import { familyWords } from "../workshop/answers";

export type OwnBand = components["schemas"]["BandShown"];
export interface Limits { lower: number | null; target: number | null; upper: number | null }

const OWN_TAG = "set by the shop";
/** A band narrower than this many standard uncertainties could call nothing inside: 2 × 1.645 u on both sides. */
export const NARROWEST_IN_U = 6.6;

/** What the quantity begins with; the phone's catalogue holds the shop's own bands before them. */
export const startBands = (q: Quantity): Band[] => q.bands.filter((b) => b.tag !== OWN_TAG);

/** The start value for a family, told by a bike of it; null: none, or no such bike here. */
export function startOf(q: Quantity, family: string, bikes: readonly Bike[]): Band | null {
  const bike = bikes.find((b) => b.family === family);
  return bike ? resolveBand(startBands(q), facts(bike)) : null;
}

/** The newest of each family; the newest for all families under null. */
export function inForce(own: readonly OwnBand[], quantity: string): Map<string | null, OwnBand> {
  return new Map(own.filter((b) => b.quantity === quantity).map((b) => [b.family ?? null, b]));
}

export function limitsOf(b: Partial<Limits> | null | undefined): Limits {
  return { lower: b?.lower ?? null, target: b?.target ?? null, upper: b?.upper ?? null };
}

export function limitWords(b: Partial<Limits> | null, unit: string, signed = false): string {
  const { lower, target, upper } = limitsOf(b);
  const n = (v: number) => num(v, 3, signed);
  const aim = target !== null && target !== lower ? `, target ${n(target)}` : "";
  if (lower !== null && upper !== null) return lower === upper ? `exactly ${n(lower)} ${unit}` : `${n(lower)} to ${n(upper)} ${unit}${aim}`;
  if (upper !== null) return `up to ${n(upper)} ${unit}${aim}`;
  return lower === null ? "not judged" : `from ${n(lower)} ${unit}${aim}`;
}

const FACTS: Record<string, (value: string) => string> = {
  cog_count: (v) => `${v}-speed`, ring_count: (v) => (v === "1" ? "one ring" : `${v} rings`), tyres: (v) => `${v} tyres`, brakes: (v) => `${v} brakes`,
  shifting: (v) => `${v} shifting`, family: familyWords,
};

/** Which bikes a start value is for. */
export function whenWords(when: When | undefined): string {
  const words = Object.entries(when ?? {}).map(([fact, wanted]) => {
    const say = FACTS[fact] ?? ((v: string) => `${fact.replace(/_/g, " ")} ${v}`);
    if (Array.isArray(wanted)) return list(wanted.map((w) => say(String(w)))).replace(" and ", " or ");
    if (typeof wanted !== "object") return say(String(wanted));
    const { min, max } = wanted as { min?: number; max?: number };
    return say(min === undefined ? `up to ${max}` : max === undefined ? `${min} and more` : `${min} to ${max}`).replace(/^(.*)(-speed)$/, "$1 cogs");
  });
  return words.length ? words.join(", ") : "all bikes";
}

/** What is wrong with limits as typed, at the field where it is wrong. */
export function wrongLimits({ lower, target, upper }: Limits): Record<string, string> {
  if (lower !== null && upper !== null && lower > upper) return { upper: "Upper limit: it lies below the lower one." };
  if (target !== null && lower !== null && target < lower) return { target: "Target: it lies below the lower limit." };
  if (target !== null && upper !== null && target > upper) return { target: "Target: it lies above the upper limit." };
  return {};
}

/** What is worth saying before such a band is put in force; not wrong. */
export function doubts({ lower, upper }: Limits, q: Quantity, unit: string): string | null {
  if (lower === null && upper === null) return "Without a limit it is not judged any more.";
  if (lower !== null && upper !== null && lower < upper && upper - lower < NARROWEST_IN_U * q.u) {
    return `Narrower than ${num(NARROWEST_IN_U * q.u, 2)} ${unit}: one reading has a standard uncertainty u of ${num(q.u, 3)} ${unit}, and below ${NARROWEST_IN_U} u hardly a value could be called inside.`;
  }
  const [least, most] = q.plausible;
  const beyond = [lower, upper].find((v) => v !== null && (v < least || v > most));
  return beyond == null ? null : `${num(beyond, 3)} ${unit} lies beyond what can be read: ${num(least)} to ${num(most)} ${unit}.`;
}
