/** The facts of a bike as they are typed, and the bike they come to: nothing that the contract would refuse. */
import { LIMITS } from "../../limits";
import type { BikeDraft, Drivetrain, ProblemBody } from "../../nouns";
import { faultsOf, typedNumber, wrong, wrongOnes, type Asked, type Limit } from "../typed";

const { BikePut, Drivetrain: OF_DRIVE, Wheel } = LIMITS;

/** Numbers that only some computations need; all optional. */
export const NUMBERS = {
  circumference_mm: { label: "Wheel circumference", unit: "mm", hint: "rolled out under the rider", limit: Wheel.circumference_mm },
  chainstay_mm: { label: "Chainstay length", unit: "mm", hint: "for the chain's length; suspension at its longest", limit: OF_DRIVE.chainstay_mm },
  rear_capacity: { label: "Rear derailleur's capacity", unit: "teeth", hint: "as its maker rates it", limit: OF_DRIVE.rear_capacity },
  rear_max_cog: { label: "Largest cog it is rated for", unit: "teeth", hint: "as its maker rates it", limit: OF_DRIVE.rear_max_cog },
  trim_step_mm: { label: "One fine step at the pulley", unit: "mm", hint: "electronic", limit: OF_DRIVE.trim_step_mm },
  actuation_ratio: { label: "Actuation ratio", unit: "", hint: "cable: pulley travel for a millimetre of cable", limit: OF_DRIVE.actuation_ratio },
  cog_pitch_mm: { label: "Cog pitch", unit: "mm", hint: "from cog to cog", limit: OF_DRIVE.cog_pitch_mm },
  chainline_mm: { label: "Chainline", unit: "mm", hint: "middle of the frame to the middle of the rings", limit: OF_DRIVE.chainline_mm },
  ring_spacing_mm: { label: "Ring spacing", unit: "mm", hint: "from ring to ring", limit: OF_DRIVE.ring_spacing_mm },
  cassette_line_mm: { label: "Cassette line", unit: "mm", hint: "middle of the frame to the middle of the cassette", limit: OF_DRIVE.cassette_line_mm },
} as const satisfies Record<string, Asked & { hint: string }>;
export type NumberName = keyof typeof NUMBERS;
export const NUMBER_NAMES = Object.keys(NUMBERS) as NumberName[];

const WORDS = {
  label: { label: "What the shop calls it", limit: BikePut.label },
  frame_number: { label: "Frame number", limit: BikePut.frame_number },
};
const SERIALS = "Serial numbers";

export type Texts = Record<keyof typeof WORDS | "serials" | "rings" | "cogs" | NumberName, string>;

export function textsOf({ label, frame_number, serials, drivetrain: d, wheel }: BikeDraft): Texts {
  const numbers = { ...d, circumference_mm: wheel?.circumference_mm } as Partial<Record<NumberName, number>>;
  return {
    label, frame_number: frame_number ?? "", serials: (serials ?? []).join(", "), rings: d.rings.join(" "), cogs: d.cogs.join(" "),
    ...(Object.fromEntries(NUMBER_NAMES.map((name) => [name, numbers[name] === undefined ? "" : String(numbers[name])])) as Record<NumberName, string>),
  };
}

/** Teeth as a person types them: "46, 33", "46/33", "10 11 12"; otherwise in words what is wrong with them. */
export function teethOf(text: string, part: "Rings" | "Cogs"): number[] | string {
  const { items, each } = part === "Rings" ? OF_DRIVE.rings : OF_DRIVE.cogs;
  const words = text.split(/[\s,;/+]+/).filter(Boolean);
  if (!words.length) return `${part}: choose them, or type their teeth.`;
  const odd = words.find((word) => !/^\d+$/.test(word));
  if (odd) return `${part}: “${odd}” is no number of teeth. Write each one, such as ${part === "Rings" ? "46 33" : "11 13 15"}.`;
  const teeth = words.map(Number);
  const far = teeth.find((n) => n < each.least || n > each.most);
  if (far !== undefined) return `${part}: ${each.least} to ${each.most} teeth each, not ${far}.`;
  const twice = teeth.find((n, i) => teeth.indexOf(n) < i);
  if (twice !== undefined) return `${part}: ${twice} stands there twice.`;
  return teeth.length > items ? `${part}: ${items} at most, not ${teeth.length}.` : teeth;
}

export const sameTeeth = (a: readonly number[], b: readonly number[]): boolean =>
  a.length === b.length && [...a].sort().every((n, i) => n === [...b].sort()[i]);

const serialsOf = (text: string): string[] => text.split(",").map((one) => one.trim()).filter(Boolean);

/** What is wrong, by field; nothing: the bike can be kept. */
export function wrongFacts(texts: Texts): Record<string, string> {
  const found = wrongOnes({ ...WORDS, ...NUMBERS }, texts);
  if (!texts.label.trim()) found["label"] = "Give the bike a name the shop will know it by.";
  for (const part of ["Rings", "Cogs"] as const) {
    const teeth = teethOf(texts[part === "Rings" ? "rings" : "cogs"], part);
    if (typeof teeth === "string") found[part.toLowerCase()] = teeth;
  }
  const { items, each }: { items: number; each: Limit } = BikePut.serials;
  const serials = serialsOf(texts.serials);
  const odd = serials.map((one) => wrong({ label: SERIALS, limit: each }, one)).find((one) => one !== null);
  if (odd ?? serials.length > items) found["serials"] = odd ?? `${SERIALS}: ${items} at most, not ${serials.length}.`;
  return found;
}

const LABELS: Record<string, string> = {
  ...Object.fromEntries(Object.entries({ ...WORDS, ...NUMBERS }).map(([name, { label }]) => [name, label])), serials: SERIALS, rings: "Rings", cogs: "Cogs",
};

/** A field of a bike or job, by its name in the contract, as a person knows it. */
export const labelOfField = (name: string): string => LABELS[name] ?? name.replaceAll("_", " ");

/** What the service has found wrong, by field. */
export function refusedFacts(problem: ProblemBody | undefined): Record<string, string> {
  return Object.fromEntries(Object.entries(faultsOf(problem)).map(([name, words]) => [name, `${labelOfField(name)}: ${words}`]));
}

/** The bike with what was typed; only where nothing is wrong. */
export function bikeOf(chosen: BikeDraft, texts: Texts): BikeDraft {
  const { circumference_mm, ...numbers } = Object.fromEntries(NUMBER_NAMES.map((name) => [name, typedNumber(texts[name]) ?? undefined])) as Partial<Record<NumberName, number>>;
  const teeth = (text: string, part: "Rings" | "Cogs") => teethOf(text, part) as number[];
  const drivetrain: Drivetrain = {
    ...chosen.drivetrain, ...numbers,
    rings: teeth(texts.rings, "Rings").sort((a, b) => b - a), cogs: teeth(texts.cogs, "Cogs").sort((a, b) => a - b),
  };
  const wheel = { bead_seat_mm: chosen.wheel?.bead_seat_mm, circumference_mm };
  const serials = serialsOf(texts.serials);
  return {
    ...chosen, label: texts.label.trim(), drivetrain,
    frame_number: texts.frame_number.trim() || undefined, serials: serials.length ? serials : undefined,
    wheel: wheel.bead_seat_mm || wheel.circumference_mm ? wheel : undefined,
  };
}
