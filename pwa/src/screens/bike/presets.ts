/** Quick choices for a bike's facts. */
import type { Bike, Drivetrain } from "../../nouns";
import { drivetrainWords } from "./facts";

export interface Preset { label: string; teeth: number[] }

/** Everyday sets of teeth as quick choices (common practice), as the demo has them too; anything else is typed. */
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
