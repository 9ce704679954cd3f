import { useEffect } from "preact/hooks";
import type { Catalogue } from "../catalogue";
import { PickOne } from "../look/touch";
import { fetchWrenches, takeWrench, wrenches, wrenchInUse } from "./wrenches";

/** Which of the shop's torque wrenches it is; the one chosen stays chosen on this phone. Nothing where the book has none. */
export function WrenchPick({ cat }: { cat: Catalogue }) {
  useEffect(() => void fetchWrenches(cat), []);
  const inUse = wrenches.value.filter((g) => !g.retired);
  if (!inUse.length) return null;
  return (
    <PickOne label="Torque wrench" loose value={wrenchInUse.value} onPick={takeWrench}
      choices={inUse.map((g) => ({ id: g.id, label: g.overdue ? `${g.name}, calibration overdue` : g.name }))} />
  );
}
