import { readFileSync } from "node:fs";
import openapiTS, { astToString } from "openapi-typescript";
import { expect, test } from "vitest";
// @ts-expect-error plain JavaScript: it runs by itself, before anything is built
import { limits } from "../limits.mjs";

test("the types are those of the contract: `npm run contract` writes them anew", async () => {
  const document = new URL("../../schemas/openapi.json", import.meta.url);
  const written = readFileSync(new URL("../src/contract.ts", import.meta.url), "utf8");
  // The command line adds a heading of its own.
  expect(written.endsWith(astToString(await openapiTS(document)))).toBe(true);
});

test("so are the limits of what a person fills in", () => {
  expect(readFileSync(new URL("../src/limits.ts", import.meta.url), "utf8")).toBe((limits as () => string)());
});
