/** The facts of a bike in plain words: one row a field of the contract, so that no form spells them twice. */
import type { Bike, BikeDraft, Drivetrain } from "../../nouns";

export interface Preset { label: string; teeth: number[] }

/** Everyday sets of teeth as quick choices; anything else is typed. */
export const RINGS: Preset[] = [[46, 33], [48, 35], [50, 34], [52, 36], [40], [42], [32]].map((teeth) => ({ label: teeth.join("/"), teeth }));

export const COGS: Preset[] = [
  [10, 11, 12, 13, 14, 15, 17, 19, 21, 24, 28, 36],
  [10, 11, 12, 13, 14, 15, 16, 17, 19, 21, 24, 28],
  [10, 11, 13, 15, 17, 19, 21, 24, 28, 32, 38, 44],
  [10, 12, 14, 16, 18, 21, 24, 28, 32, 36, 42, 52],
  [11, 12, 13, 14, 15, 17, 19, 21, 23, 25, 28],
  [11, 13, 15, 17, 19, 21, 23, 25, 27, 30, 34],
  [11, 12, 14, 16, 18, 20, 22, 25, 28, 32],
  [11, 13, 15, 17, 20, 23, 26, 30, 34],
].map((teeth) => ({ label: `${teeth.length}-speed ${teeth[0]}–${teeth[teeth.length - 1]}`, teeth }));

export const BEAD_SEATS = [622, 584, 571, 559, 507, 406];

export const SHIFTING = [{ id: "electronic", label: "electronic" }, { id: "cable", label: "cable" }] as const;
export const REAR_MOUNT = [{ id: "hanger", label: "on a hanger" }, { id: "axle", label: "on the axle" }] as const;
export const BRAKES = [{ id: "disc", label: "disc" }, { id: "rim", label: "rim" }] as const;
export const TYRES = [{ id: "tube", label: "with tubes" }, { id: "tubeless", label: "tubeless" }, { id: "hookless", label: "tubeless, hookless rim" }] as const;

type NumberFact = {
  [K in keyof Drivetrain]-?: NonNullable<Drivetrain[K]> extends number ? K : never;
}[keyof Drivetrain];

/** Numbers that only some computations need; all optional. */
export const NUMBERS: { key: NumberFact; label: string; hint: string }[] = [
  { key: "chainstay_mm", label: "Chainstay length, mm", hint: "for the chain's length; suspension at its longest" },
  { key: "rear_capacity", label: "Rear derailleur's capacity, teeth", hint: "as its maker rates it" },
  { key: "rear_max_cog", label: "Largest cog it is rated for, teeth", hint: "as its maker rates it" },
  { key: "trim_step_mm", label: "One fine step at the pulley, mm", hint: "electronic" },
  { key: "actuation_ratio", label: "Actuation ratio", hint: "cable: pulley travel for a millimetre of cable" },
  { key: "cog_pitch_mm", label: "Cog pitch, mm", hint: "from cog to cog" },
  { key: "chainline_mm", label: "Chainline, mm", hint: "middle of the frame to the middle of the rings" },
  { key: "ring_spacing_mm", label: "Ring spacing, mm", hint: "from ring to ring" },
  { key: "cassette_line_mm", label: "Cassette line, mm", hint: "middle of the frame to the middle of the cassette" },
];

/** "46/33 × 10–36, 12-speed, electronic". */
export function drivetrainWords(d: Drivetrain): string {
  const cogs = [...d.cogs].sort((a, b) => a - b);
  const rings = [...d.rings].sort((a, b) => b - a);
  return `${rings.join("/")} × ${cogs[0]}–${cogs[cogs.length - 1]}, ${cogs.length}-speed, ${d.shifting}`;
}

/** Teeth as a person types them: "46, 33", "46/33", "10 11 12". Null while it is no list of teeth. */
export function parseTeeth(text: string): number[] | null {
  const parts = text.split(/[^0-9]+/).filter(Boolean).map(Number);
  return parts.length && parts.every((n) => n >= 6 && n <= 80) ? [...new Set(parts)] : null;
}

export const sameTeeth = (a: readonly number[], b: readonly number[]): boolean =>
  a.length === b.length && [...a].sort().every((n, i) => n === [...b].sort()[i]);

/** The drivetrains on this phone, commonest first. */
export function familiesOf(bikes: readonly Bike[], most = 4): Drivetrain[] {
  const seen = new Map<string, { n: number; drivetrain: Drivetrain }>();
  for (const bike of bikes) {
    const key = JSON.stringify([drivetrainWords(bike.drivetrain), bike.drivetrain.cogs, bike.drivetrain.rear_mount]);
    const row = seen.get(key) ?? { n: 0, drivetrain: bike.drivetrain };
    row.n += 1;
    seen.set(key, row);
  }
  return [...seen.values()].sort((a, b) => b.n - a.n).slice(0, most).map((row) => row.drivetrain);
}

/** Any word of it finds the bike. */
export function matches(bike: BikeDraft & { family?: string }, query: string): boolean {
  const hay = [bike.label, bike.frame_number, ...(bike.serials ?? []), bike.family, drivetrainWords(bike.drivetrain), bike.brakes, bike.tyres]
    .filter(Boolean).join(" ").toLowerCase();
  return query.toLowerCase().split(/\s+/).filter(Boolean).every((word) => hay.includes(word));
}
