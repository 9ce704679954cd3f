/** The maker's figure of a fastener of this bike, as it was last written down here, in N·m; null: only the catalogue's is known. */
import { entriesOfBike } from "../book";
import { toUnit } from "../catalogue";
import type { EntryOf } from "../nouns";
import { NM } from "./torque_value";
import type { Work } from "./work";

export function makersFigure(work: Pick<Work, "bike" | "cat">, fastener: string): number | null {
  const all = entriesOfBike(work.bike.id).value.filter((e) => e.state !== "set_aside").map((e) => e.entry);
  const replaced = new Set(all.map((e) => e.replaces));
  const last = all.findLast((e): e is EntryOf<"torque"> => e.kind === "torque" && e.data.fastener === fastener && !replaced.has(e.id));
  return last?.data.target === undefined ? null : toUnit(work.cat, last.data.target, last.data.unit, NM);
}
