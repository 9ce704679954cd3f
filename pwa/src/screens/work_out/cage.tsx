import { cageRotation } from "../../domain/cage";
import { judge } from "../../domain/conformity";
import { GUARD } from "../../look/geometry";
import { num } from "../../look/number";
import { QuantityLine } from "../../look/quantity_line";
import { scaleFor } from "../bench/line";
import { remember, remembered } from "../remembered";
import { whiskerOf } from "../work";
import { implausible } from "../plausible";
import { FigureGrid, useFigures } from "./figures";
import { KeepFoot, useKeeping } from "./keeping";
import { stateOf, type Place } from "./place";
import { attempt, Reason, Sheet } from "./sheet";

/** The front cage's alignment and rotation, from the gaps to the outer ring at its two ends. */
export function CageSheet({ place }: { place: Place }) {
  const state = stateOf(place, "cage_alignment");
  const quantity = state?.quantity;
  const figures = useFigures([
    { id: "front", label: "Gap at the front", unit: "mm", step: 0.1, how: "Outer cage plate to the outer ring, at the cage's front." },
    { id: "tail", label: "Gap at the tail", unit: "mm", step: 0.1, how: "The same, at its tail." },
    { id: "length", label: "Between the two", unit: "mm", step: 1, known: remembered<number>("cage_length"), start: 60, how: "Along the cage, from the one place to the other." },
  ]);
  const keeping = useKeeping(place);
  const [front, tail, length] = ["front", "tail", "length"].map(figures.value) as [number | null, number | null, number | null];
  const { answer: found, reason } = attempt(() => cageRotation(front ?? NaN, tail ?? NaN, length ?? NaN, quantity?.u ?? 0));
  const value = front === null || tail === null ? null : Math.round((front - tail) * 1000) / 1000;
  if (!state || !quantity) return null;
  const keep = () => {
    if (value === null) return keeping.say("Read both gaps first.");
    const odd = implausible(place.cat, quantity, value);
    if (odd) return keeping.say(odd);
    if (length !== null) remember("cage_length", length);
    keeping.keepAndGo({ kind: "reading", stage: keeping.stage, note: `${num(front!, 2)} mm at the front, ${num(tail!, 2)} mm at the tail`, data: { quantity: quantity.id, value, unit: quantity.unit } });
  };
  return (
    <Sheet place={place} title="Front cage" figures={figures} foot={
      <KeepFoot place={place} keeping={keeping} keep={value === null ? "Keep" : `Keep ${num(value, 2, true)} mm`} onKeep={keep} />
    }>
      <p class="s">{quantity.how}</p>
      <ul class="qs mt">
        <QuantityLine name={quantity.label} unit="mm" shown={value === null ? "–" : num(value, 2, true)} verdict={value === null ? null : judge(value, quantity.u, state.band).verdict}
          caption={value === null ? "not measured yet" : `±${num(GUARD * quantity.u, 2)}`} scale={scaleFor(state)} value={value}
          whisker={value === null ? null : whiskerOf({ value, u: quantity.u })} was={state.readingValue ?? state.baseline} />
      </ul>
      {found && (
        <p class="mt mb">Turned by <b>{num(found.rotation_deg, 1, true)}°</b>, ±{num(GUARD * found.u_rotation_deg, 1)}°: {way(found.alignment_mm)}</p>
      )}
      {front !== null && tail !== null && length !== null && <Reason words={reason} />}
      <FigureGrid figures={figures} label="Gaps of the cage" />
    </Sheet>
  );
}

function way(alignment: number): string {
  if (Math.abs(alignment) < 0.005) return "parallel to the ring.";
  return alignment > 0 ? "its front stands out." : "its tail stands out.";
}
