/** The parts that can make a noise, as short as a drawing needs them. */
import type { Rotations } from "../../domain/gears";
import type { TurnMark } from "../../look/turns";

const SHORT: Record<string, string> = {
  crank: "crank", pedal_strokes: "strokes", wheel: "wheel", chain_loop: "chain", pulley: "pulley", other: "none of these",
};

/** How often each part comes round in ten turns of the crank. */
export function marksOf(turns: Rotations): TurnMark[] {
  return Object.entries(turns).map(([part, turn]) => ({ at: 10 * turn, label: SHORT[part] ?? part }));
}

/** How far a rule of turns must go, so that the quickest part stands on it. */
export const reach = (n: number, marks: TurnMark[]): number => Math.max(28, Math.ceil(1.1 * Math.max(n, ...marks.map((m) => m.at))));
