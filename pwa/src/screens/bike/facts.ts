/** The facts of a bike in plain words: one row a field of the contract, so that no form spells them twice. */
import type { Bike, Drivetrain } from "../../nouns";
import { fold, holds } from "../fold";

export const SHIFTING = [{ id: "electronic", label: "electronic" }, { id: "cable", label: "cable" }] as const;
export const REAR_MOUNT = [{ id: "hanger", label: "on a hanger" }, { id: "axle", label: "on the axle" }] as const;
export const BRAKES = [{ id: "disc", label: "disc" }, { id: "rim", label: "rim" }] as const;
export const TYRES = [{ id: "tube", label: "with tubes" }, { id: "tubeless", label: "tubeless" }, { id: "hookless", label: "tubeless, hookless rim" }] as const;

/** "46/33 × 10–36, 12-speed, electronic". */
export function drivetrainWords(d: Drivetrain): string {
  const cogs = [...d.cogs].sort((a, b) => a - b);
  const rings = [...d.rings].sort((a, b) => b - a);
  return `${rings.join("/")} × ${cogs[0]}–${cogs[cogs.length - 1]}, ${cogs.length}-speed, ${d.shifting}`;
}

const own = new WeakMap<Bike, string>();
/** The words of a bike as they are looked for; folded once, since a bike that changes is another object. */
function wordsOf(bike: Bike): string {
  const known = own.get(bike);
  if (known !== undefined) return known;
  const words = fold([bike.label, bike.frame_number, ...(bike.serials ?? []), bike.family, drivetrainWords(bike.drivetrain), bike.brakes, bike.tyres].filter(Boolean).join(" "));
  own.set(bike, words);
  return words;
}

/** Whether every word looked for is in one of the bike's, or in what else finds it. */
export const matches = (bike: Bike, words: readonly string[], more = ""): boolean => holds(`${wordsOf(bike)} ${more}`, words);
