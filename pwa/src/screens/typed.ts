/** What was typed into a field, held against what the contract allows: said with the field's name and what would be right. */
import type { ProblemBody } from "../nouns";

/** As limits.ts has it. */
export interface Limit {
  readonly least?: number;
  readonly above?: number;
  readonly most?: number;
  readonly whole?: boolean;
  /** Of a text, in characters. */
  readonly longest?: number;
}

export interface Asked { label: string; unit?: string; limit: Limit }

/** What is wrong with each field, by its name. */
export type Faults = Readonly<Record<string, string>>;

/** The contract's own end of all numbers: no limit that a person would name. */
const ENDLESS = 1e9;

/** A number as it is typed: empty is null, what is no number is NaN. */
export function typedNumber(text: string): number | null {
  const plain = text.trim().replace(",", ".").replace("−", "-");
  if (!plain) return null;
  return /^[+-]?(\d+\.?\d*|\.\d+)$/.test(plain) ? Number(plain) : Number.NaN;
}

/** What is wrong with what stands in a field; null: nothing. An empty field is the form's own matter. */
export function wrong({ label, unit = "", limit }: Asked, text: string): string | null {
  if (limit.longest !== undefined) {
    const long = [...text.trim()].length;
    return long > limit.longest ? `${label}: ${limit.longest} characters at most, not ${long}.` : null;
  }
  const value = typedNumber(text);
  if (value === null || holds(value, limit)) return null;
  const right = allowed(limit, unit);
  if (Number.isNaN(value)) return `${label}: “${text.trim()}” is no number.${right && ` Right is ${right}.`}`;
  return right ? `${label}: ${right}, not ${text.trim()}.` : `${label}: ${text.trim()} is far too much.`;
}

/** The faults of all fields that have one. */
export function wrongOnes(asked: Record<string, Asked>, texts: Readonly<Record<string, string>>): Record<string, string> {
  const found = Object.entries(asked).map(([name, one]) => [name, wrong(one, texts[name] ?? "")] as const);
  return Object.fromEntries(found.filter((one): one is [string, string] => one[1] !== null));
}

/** Whether a number may be. */
export function holds(value: number, { least = -Infinity, above = -Infinity, most = Infinity, whole }: Limit): boolean {
  return value >= least && value > above && value <= most && (!whole || Number.isInteger(value));
}

/** What may be, in words: "200 to 1000 mm", "a whole number, 0 to 200 teeth"; nothing where there is no limit to name. */
export function allowed({ least = -ENDLESS, above, most = ENDLESS, whole }: Limit, unit: string): string {
  const low = above === undefined ? (least > -ENDLESS ? String(least) : "") : `above ${above}`;
  const high = most < ENDLESS ? String(most) : "";
  const range = low && high ? `${low}${above === undefined ? "" : ","} ${above === undefined ? "to" : "up to"} ${high}`
    : high ? `up to ${high}` : above === undefined && low ? `${low} or more` : low;
  return [whole && "a whole number", range && `${range} ${unit}`.trim()].filter(Boolean).join(", ").replaceAll("-", "−");
}

/** The service names fields by a pointer into the body: /gauges/0/highest is the field highest. */
export function faultsOf(problem: ProblemBody | undefined): Faults {
  return Object.fromEntries((problem?.errors ?? []).map(({ pointer, detail }) => [pointer.split("/").filter((part) => part && !/^\d+$/.test(part)).at(-1) ?? "", detail]));
}
