/** Writes src/limits.ts: what the contract allows in the fields that a person fills in, from its document. */
import { readFileSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";

const DOCUMENT = new URL("../schemas/openapi.json", import.meta.url);
const WRITTEN = new URL("src/limits.ts", import.meta.url);
const SCHEMAS = [
  "BikePut", "Drivetrain", "Wheel", "Complaint", "ReadingEntry", "TorqueData", "Tip", "NoiseData", "RemarkData", "DeclinedData",
  "Gauge", "Customer", "Person", "BandPut", "Cause", "PlanStep", "StudyReading",
];
/** Ids, names of the catalogue, days, moments and counts of the machine are nobody's to type. */
const ANY_TEXT = "^[^\\u0000]*$";
const IS_TYPED = (field) => [undefined, ANY_TEXT].includes(field.pattern) && !field.enum && field.maximum !== Number.MAX_SAFE_INTEGER;
const NAMES = { minimum: "least", exclusiveMinimum: "above", maximum: "most", maxLength: "longest", maxItems: "items" };

function limitOf(field) {
  const found = Object.entries(NAMES).filter(([name]) => field[name] !== undefined).map(([name, short]) => `${short}: ${field[name]}`);
  if (field.type === "integer" || field.type?.includes?.("integer")) found.push("whole: true");
  if (field.type === "array") {
    const each = field.items && IS_TYPED(field.items) ? limitOf(field.items) : null;
    return each && `{ ${found.join(", ")}, each: ${each} }`;
  }
  return found.length && !field.type?.includes?.("object") ? `{ ${found.join(", ")} }` : null;
}

export function limits(document = readFileSync(DOCUMENT, "utf8")) {
  const { schemas } = JSON.parse(document).components;
  const rows = SCHEMAS.map((name) => {
    const fields = Object.entries(schemas[name].properties).filter(([, field]) => IS_TYPED(field))
      .map(([key, field]) => [key, limitOf(field)]).filter(([, limit]) => limit);
    return `  ${name}: {\n${fields.map(([key, limit]) => `    ${key}: ${limit},\n`).join("")}  },\n`;
  });
  return `/** What the contract allows in the fields that a person fills in; \`npm run contract\` writes it anew. */\nexport const LIMITS = {\n${rows.join("")}} as const;\n`;
}

if (process.argv[1] === fileURLToPath(import.meta.url)) writeFileSync(WRITTEN, limits());
