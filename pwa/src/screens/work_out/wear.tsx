import { useState } from "preact/hooks";
import type { Band, Quantity } from "../../catalogue";
import { elongation } from "../../domain/chain";
import { judge } from "../../domain/conformity";
import { GUARD, scaleOf } from "../../look/geometry";
import { num } from "../../look/number";
import { QuantityLine } from "../../look/quantity_line";
import { PickOne } from "../../look/touch";
import { remembered, remember } from "../remembered";
import { scaleFor } from "../bench/line";
import { whiskerOf } from "../work";
import { implausible } from "../plausible";
import { FigureGrid, useFigures } from "./figures";
import { KeepFoot, useKeeping } from "./keeping";
import { quantityOf, stateOf, type Place } from "./place";
import { attempt, Reason, Sheet } from "./sheet";

/** How much longer than new the chain is, from a stretch of it measured under a light pull. */
export function WearSheet({ place }: { place: Place }) {
  const quantity = quantityOf(place.cat, "chain_elongation")!;
  const state = stateOf(place, quantity.id);
  const [chosen, setChosen] = useState("0");
  const band = state ? state.band : (quantity.bands[Number(chosen)] ?? null);
  const figures = useFigures([
    { id: "links", label: "Over", unit: "links", step: 2, known: remembered<number>("wear_links") ?? 24, how: "Half-inch pitches; the longer the stretch, the surer. Twelve at least." },
    { id: "length", label: "They measure", unit: "mm", step: 0.1, how: "From pin to pin, pulled taut: the same edge of each pin." },
  ]);
  const keeping = useKeeping(place);
  const [links, length] = [figures.value("links"), figures.value("length")];
  const { answer: percent, reason } = attempt(() => elongation(links ?? NaN, length ?? NaN));
  const value = percent === null ? null : Math.round(percent * 1000) / 1000;
  const keep = () => {
    if (value === null) return keeping.say(length === null ? "Measure the length first." : reason);
    const odd = implausible(place.cat, quantity, value);
    if (odd) return keeping.say(odd);
    remember("wear_links", links);
    keeping.keepAndGo({ kind: "reading", stage: keeping.stage, note: `${links} links, ${num(length!, 2)} mm`, data: { quantity: quantity.id, value, unit: quantity.unit } });
  };
  return (
    <Sheet place={place} title="Chain wear" figures={figures} foot={
      <KeepFoot place={place} keeping={keeping} keep={place.work ? (value === null ? "Keep" : `Keep ${num(value, 2, true)} %`) : null} onKeep={keep} />
    }>
      <p class="s">{quantity.how}</p>
      {!state && <PickOne label="Speeds" cls="c2 mt" choices={quantity.bands.map((b, i) => ({ id: String(i), label: b.source ?? "" }))} value={chosen} onPick={(id) => setChosen(id ?? "0")} />}
      <ul class="qs mt">
        <QuantityLine name={quantity.label} unit="%" shown={value === null ? "–" : num(value, 2, true)} verdict={value === null ? null : judge(value, quantity.u, band).verdict}
          caption={value === null ? "not measured yet" : `±${num(GUARD * quantity.u, 2)}`} scale={state ? scaleFor(state) : scaleAlone(quantity, band)}
          value={value} whisker={value === null ? null : whiskerOf({ value, u: quantity.u })} was={state?.readingValue ?? state?.baseline ?? null} />
      </ul>
      {length !== null && <Reason words={reason} />}
      {links !== null && <p class="s mt mb">New, {num(links)} links measure {num(links * 12.7, 1)} mm.</p>}
      <FigureGrid figures={figures} label="Measured length" cols={2} />
    </Sheet>
  );
}

function scaleAlone(q: Quantity, band: Band | null) {
  return scaleOf({ lower: band?.lower, upper: band?.upper, span: q.span, plausible: q.plausible, minor: q.minor, major: q.major, signed: q.signed, zero: q.zero });
}
