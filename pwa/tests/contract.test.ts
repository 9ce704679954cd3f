import { readFileSync } from "node:fs";
import openapiTS, { astToString } from "openapi-typescript";
import { expect, test } from "vitest";

test("the types are those of the contract: `npm run contract` writes them anew", async () => {
  const document = new URL("../../schemas/openapi.json", import.meta.url);
  const written = readFileSync(new URL("../src/contract.ts", import.meta.url), "utf8");
  // The command line adds a heading of its own.
  expect(written.endsWith(astToString(await openapiTS(document)))).toBe(true);
});
