import { readFileSync } from "node:fs";
import { resolve } from "node:path";
import { describe, expect, it } from "vitest";
import { contrast } from "../../src/look/contrast";

const css = readFileSync(resolve(import.meta.dirname, "../../src/look/tokens.css"), "utf8");
const block = (start: string) => {
  const body = css.slice(css.indexOf(start), css.indexOf("}", css.indexOf(start)));
  return Object.fromEntries([...body.matchAll(/--(\w[\w-]*):\s*(#\w+)/g)].map((m) => [m[1], m[2]])) as Record<string, string>;
};
const light = block(":root, [data-theme=light]");
const dark = { ...light, ...block("[data-theme=dark]") };
const phone = { ...light, ...block(":root:not([data-theme])") };

it("the ratio is that of WCAG 2.2: black on white 21, and the grey #767676 just passes 4.5", () => {
  expect(contrast("#000", "#fff")).toBeCloseTo(21, 9);
  expect(contrast("#767676", "#ffffff")).toBeCloseTo(4.54, 2);
});

it("the dark theme by choice and by the phone are the same", () => expect(phone).toEqual(dark));

describe.each([["chalk", light], ["slate", dark]])("%s", (_, t) => {
  const pairs: [string, string][] = [
    ["ink", "ground"], ["ink", "plate"], ["ink", "sunk"], ["soft", "ground"], ["soft", "plate"], ["on-blue", "blue"], ["on-blue", "deep"],
    ["mark", "ground"], ["brass", "ground"], ["oxide", "ground"], ["ground", "oxide"], ["ground", "ink"],
  ];
  it.each(pairs)("%s on %s is at least 7 to 1", (text, on) => expect(contrast(t[text]!, t[on]!)).toBeGreaterThanOrEqual(7));
  it("lines of the rule are at least 3 to 1 (WCAG 1.4.11)", () => expect(contrast(t["scribe"]!, t["ground"]!)).toBeGreaterThanOrEqual(3));
});

it("no type is under 13 px", () => {
  for (const [, rem] of css.matchAll(/--f\d:\s*([\d.]+)rem/g)) expect(Number(rem) * 16).toBeGreaterThanOrEqual(13);
});
