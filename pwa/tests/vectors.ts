/** The answers that service and phone share. */
import { readFileSync } from "node:fs";
import { parse } from "smol-toml";
import { expect } from "vitest";

export interface Case {
  id: string;
  inputs: any;
  expected: any;
  tolerance?: number;
  source?: string;
}

export function vectors(name: string): Case[] {
  const path = new URL(`../../schemas/vectors/${name}.json`, import.meta.url);
  return (JSON.parse(readFileSync(path, "utf8")) as { cases: Case[] }).cases;
}

/** Every field expected is there: numbers within the tolerance, all else alike. */
export function expectFields(found: any, expected: any, tolerance = 1e-9, path = ""): void {
  if (typeof expected === "number") {
    expect(typeof found, path).toBe("number");
    expect(Math.abs(found - expected), `${path}: ${found} for ${expected}`).toBeLessThanOrEqual(tolerance);
  } else if (Array.isArray(expected)) {
    expect(found, path).toHaveLength(expected.length);
    expected.forEach((item, i) => expectFields(found[i], item, tolerance, `${path}[${i}]`));
  } else if (expected !== null && typeof expected === "object") {
    for (const [key, value] of Object.entries(expected)) expectFields(found[key], value, tolerance, `${path}.${key}`);
  } else {
    expect(found, path).toEqual(expected);
  }
}

/** The catalogue as it is written down; the service adds its version and what it derives. */
export function catalogueAsWritten(): unknown {
  return parse(readFileSync(new URL("../../schemas/catalogue.toml", import.meta.url), "utf8"));
}
