import { useState } from "preact/hooks";
import { applies, toUnit, type Fastener } from "../../catalogue";
import { setTo } from "../../domain/torque";
import { LIMITS } from "../../limits";
import { scaleOf } from "../../look/geometry";
import { num } from "../../look/number";
import { QuantityLine } from "../../look/quantity_line";
import { PickOne } from "../../look/touch";
import { makersFigure } from "../makers_figure";
import { absurdTorque, largestTorque } from "../plausible";
import { remember, remembered } from "../remembered";
import { NM, targetWords, torqueAt, torqueScale } from "../torque_value";
import { FigureGrid, useFigures, type Figures } from "./figures";
import { WrenchPick } from "../wrench_pick";
import { wrenchAtHand, wrenchOf } from "../wrenches";
import { KeepFoot, useKeeping } from "./keeping";
import { cautionText, type Place } from "./place";
import { attempt, Reason, Sheet } from "./sheet";

interface Tool { wrench?: number | null; max?: number | null; adapter?: number | null; angle?: number | null; unit?: string }

const DIGITS: Record<string, number> = { [NM]: 1, "lbf·in": 0, "lbf·ft": 1, "kgf·m": 2 };

const { wrench_mm, adapter_mm, angle_deg, target: TARGET } = LIMITS.TorqueData;

/** What to set on a wrench that carries an adapter or speaks another unit, and what then reaches the fastener. */
export function TorqueSheet({ place }: { place: Place }) {
  const { cat } = place;
  const [item, setItem] = useState(place.item ?? "");
  const choices = fastenersOf(place);
  const fastener = choices.find((f) => f.id === item);
  const gauge = wrenchAtHand();
  const fromGauge = wrenchOf(cat, gauge);
  const own = `wrench${gauge ? `.${gauge.id}` : ""}`;
  const last = remembered<Tool>(own) ?? {};
  const [unit, setUnit] = useState(last.unit ?? NM);
  const middle = fastener ? (fastener.lower! + fastener.upper!) / 2 : null;
  const figures = useFigures([
    { id: "target", label: "Target", unit: NM, step: 0.5, limit: { ...TARGET, most: largestTorque(cat) ?? TARGET.most }, known: (fastener && place.work && makersFigure(place.work, fastener.id)) ?? middle, how: "At the fastener, by its maker." },
    { id: "adapter", label: "Adapter", unit: "mm", step: 5, limit: adapter_mm, known: last.adapter, loose: true, start: 30, how: "Its square to the fastener." },
    { id: "wrench", label: "Wrench", unit: "mm", step: 10, limit: wrench_mm, known: last.wrench, loose: true, start: 250, how: "Its square to the middle of the grip." },
    { id: "angle", label: "Angle", unit: "°", step: 15, limit: angle_deg, known: last.angle, loose: true, start: 0, how: "Adapter to wrench: 0 straight on, 90 square, 180 turned back." },
    { id: "max", label: "Wrench goes to", unit: NM, step: 5, known: fromGauge.max_nm ?? last.max, loose: true, start: 25, how: "It is good from 20 to 100 % of this (ISO 6789:2003)." },
    { id: "shown", label: "Wrench showed", unit, step: unit === "lbf·in" ? 1 : 0.5, loose: true, how: "Where it was not set to the figure above." },
  ]);
  const keeping = useKeeping(place);
  const target = figures.value("target");
  const { answer: set, reason } = attempt(() => toUnit(cat, setTo(target ?? NaN, { length_mm: figures.given("wrench") }, adapterOf(figures)), NM, unit));
  const digits = DIGITS[unit] ?? 1;
  const shown = figures.value("shown") ?? (set === null ? null : Number(set.toFixed(digits)));
  const tool = { wrench_mm: figures.given("wrench"), ...(adapterOf(figures) && { adapter_mm: figures.given("adapter"), angle_deg: figures.given("angle") ?? 0 }) };
  const used = adapterOf(figures) ? tool : {};
  const limits = fastener && target === middle ? fastener : { lower: target ?? undefined, upper: target ?? undefined };
  // The service judges by what its book says of the wrench; a range typed here is for this page.
  const known = { ...fromGauge, max_nm: figures.given("max") };
  const made = fastener && target !== null && target !== middle ? { target: Number(toUnit(cat, target, NM, unit).toPrecision(6)) } : {};
  const { answer: at } = attempt(() => torqueAt(cat, { applied: shown ?? NaN, unit, ...used }, limits, known));

  const keep = () => {
    if (shown === null || !at || !fastener) return keeping.say(reason ?? "Type the target first.");
    const odd = figures.wrong() ?? absurdTorque(cat, at.shown_nm);
    if (odd) return keeping.say(odd);
    remember(own, { unit, ...Object.fromEntries(["wrench", "max", "adapter", "angle"].map((id) => [id, figures.value(id)])) } satisfies Tool);
    keeping.keepAndGo({ kind: "torque", stage: keeping.stage, ...(gauge && { gauge_id: gauge.id }), data: { fastener: fastener.id, applied: shown, unit, ...made, ...used } });
  };
  return (
    <Sheet place={place} title={fastener ? `Torque: ${fastener.label.toLowerCase()}` : "Torque"} figures={figures} foot={
      <KeepFoot place={place} keeping={keeping} keep={fastener && place.work ? (shown === null ? "Keep" : `Keep ${num(shown, digits)} ${unit}`) : null} onKeep={keep} />
    }>
      {place.work && !place.item && (
        <div class="mt">
          <label for="fastener">Fastener</label>
          <select id="fastener" class="fld" value={item} onChange={(e) => { setItem(e.currentTarget.value); figures.forget("target"); figures.take(e.currentTarget.value ? null : "target"); }}>
            <option value="">none in particular</option>
            {choices.map((f) => <option key={f.id} value={f.id}>{f.label}, {targetWords(f)} {NM}</option>)}
          </select>
        </div>
      )}
      <p class="s mt">The maker's figure always comes first. {cautionText(place, "carbon_parts")}</p>
      {fastener?.note && <p class="note mt">{fastener.note}</p>}
      {target !== null && <Reason words={reason} />}
      <ul class="qs free mt">
        <QuantityLine name="Set the wrench to" shown={set === null ? "–" : num(set, digits)} unit={unit} verdict={null}
          caption={target === null ? "target not known yet" : `for ${fastener && target === middle ? targetWords(fastener) : num(target, 2)} ${NM} at the fastener`}
          scale={wrenchScale(figures.value("max"), target)} value={set === null ? null : toUnit(cat, set, unit, NM)} spoken={`the range of the wrench in ${NM}`} />
      </ul>
      {at && target !== null && target > 0 && (
        <ul class="qs">
          <QuantityLine name={`At the fastener, wrench at ${num(shown!, digits)} ${unit}`} shown={num(at.value_nm, 1)} unit={NM} verdict={at.verdict === "none" ? null : at.verdict}
            caption={at.spread_nm?.map((nm) => num(nm, 1)).join(" to ")} scale={torqueScale(limits)} value={at.value_nm} whisker={at.spread_nm} />
        </ul>
      )}
      {at && <Reason words={at.refused} />}
      <h2 class="tight">Wrench and adapter</h2>
      <div class="mb"><WrenchPick cat={cat} /></div>
      <FigureGrid figures={figures} label="Wrench and adapter" />
      <PickOne label="Unit on the wrench" choices={cat.units.filter((u) => u.dimension === "torque")} value={unit} onPick={(id) => { setUnit(id ?? NM); figures.forget("shown"); }} />
    </Sheet>
  );
}

/** The fasteners of this bike that have a figure. */
const fastenersOf = ({ cat, work }: Place): Fastener[] => cat.fasteners.filter((f) => f.lower != null && (!work || applies(f.applies, work.facts)));

function adapterOf(figures: Figures) {
  const length = figures.value("adapter");
  return length ? { length_mm: length, angle_deg: figures.given("angle") } : null;
}

/** The wrench's own rule: its good range where its largest torque is known. */
function wrenchScale(most: number | null, target: number | null) {
  const top = most ?? Math.max(10, 2 * (target ?? 5));
  const minor = top > 60 ? 5 : top > 20 ? 1 : 0.5;
  return scaleOf({ lower: most === null ? null : 0.2 * most, upper: most, plausible: [0, top], minor, major: minor * 5, zero: true });
}
