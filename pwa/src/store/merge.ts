/** Two edits of one bike or job, made apart, brought together field by field. */
import type { Clash } from "./database";

export interface Merged<T> {
  body: T;
  clashes: Clash[];
}

/**
 * Merges `mine` and `theirs`, both made from `base` (null: unknown or none). A field only one side has changed takes
 * that side's value; objects are merged by their fields and lists of words as sets; what both changed differently is a
 * clash and keeps my value until a person has decided. `earlier` are versions that `mine` has already outdated: a field in
 * which `theirs` is back at one of them takes my value. `undecided` are fields that clashed before: they do until both are the same.
 */
export function merge<T extends object>(
  base: T | null, mine: T, theirs: T, earlier: readonly T[] = [], undecided: readonly string[] = [],
): Merged<T> {
  const found: Found = { clashes: [], undecided };
  return { body: fields(base ?? {}, mine, theirs, "", found, earlier) as T, clashes: found.clashes };
}

/** `body` with what `from` has in this field. */
export function taking<T extends object>(body: T, from: object, field: string): T {
  const [key, ...rest] = field.split(".") as [string, ...string[]];
  const { [key]: mine, ...others } = body as Fields;
  const theirs = (from as Fields)[key];
  const value = rest.length && isObject(mine) && isObject(theirs) ? taking(mine, theirs, rest.join(".")) : theirs;
  return (value === undefined ? others : { ...others, [key]: value }) as T;
}

type Fields = Record<string, unknown>;
interface Found {
  clashes: Clash[];
  undecided: readonly string[];
}

function fields(base: object, mine: object, theirs: object, path: string, found: Found, earlier: readonly object[]): Fields {
  const merged: Fields = {};
  for (const key of new Set([...Object.keys(theirs), ...Object.keys(mine), ...Object.keys(base)])) {
    const [b, m, t] = [base, mine, theirs].map((side) => (side as Fields)[key]);
    const value = one(b, m, t, path + key, found, earlier.map((version) => (version as Fields)[key]));
    if (value !== undefined) merged[key] = value;
  }
  return merged;
}

function one(base: unknown, mine: unknown, theirs: unknown, field: string, found: Found, earlier: readonly unknown[]): unknown {
  const open = found.undecided.some((one) => `${one}.`.startsWith(`${field}.`));
  if (same(mine, theirs) || (same(base, theirs) && !open)) return mine;
  if (same(base, mine)) return theirs;
  if (isObject(mine) && isObject(theirs)) {
    return fields(isObject(base) ? base : {}, mine, theirs, `${field}.`, found, earlier.filter(isObject));
  }
  if (earlier.some((version) => same(version, theirs))) return mine;
  if (isWords(mine) && isWords(theirs)) return words(isWords(base) ? base : [], mine, theirs);
  found.clashes.push({ field, mine, theirs });
  return mine;
}

function words(base: string[], mine: string[], theirs: string[]): string[] {
  const kept = theirs.filter((word) => mine.includes(word) || !base.includes(word));
  return [...kept, ...mine.filter((word) => !theirs.includes(word) && !base.includes(word))];
}

const isObject = (value: unknown): value is object => typeof value === "object" && value !== null && !Array.isArray(value);
const isWords = (value: unknown): value is string[] =>
  Array.isArray(value) && value.every((item) => typeof item === "string");

const MOMENT = /^\d{4}-\d\d-\d\dT/;

/** Equal as JSON, whatever the order of the fields; a moment is the same in any time zone. */
export function same(one: unknown, other: unknown): boolean {
  if (Array.isArray(one) && Array.isArray(other)) {
    return one.length === other.length && one.every((item, i) => same(item, other[i]));
  }
  if (isObject(one) && isObject(other)) {
    const keys = new Set([...Object.keys(one), ...Object.keys(other)]);
    return [...keys].every((key) => same((one as Fields)[key], (other as Fields)[key]));
  }
  if (typeof one === "string" && typeof other === "string" && MOMENT.test(one) && MOMENT.test(other)) {
    return Date.parse(one) === Date.parse(other);
  }
  return one === other;
}
