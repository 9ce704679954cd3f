import { useState } from "preact/hooks";
import { judgeDeviation } from "../../domain/hanger";
import { scaleOf } from "../../look/geometry";
import { num } from "../../look/number";
import { QuantityLine } from "../../look/quantity_line";
import { PickOne } from "../../look/touch";
import { ClockFace, ClockPad, SoFar, TwelvePlaces, useClock } from "../clock_face";
import { Page } from "../page";
import { whiskerOf } from "../work";
import { cautionText, quantityOf, type Place } from "./place";

/** Rims by their bead seat diameter, ISO 5775. */
const BEAD_SEATS = [622, 584, 559, 507, 406].map((mm) => ({ id: String(mm), label: String(mm) }));

/** The clock face by itself: nothing is written down. */
export function HangerAlone({ place }: { place: Place }) {
  const quantity = quantityOf(place.cat, "hanger_deviation")!;
  const [seat, setSeat] = useState("622");
  const [chosen, setChosen] = useState("0");
  const band = quantity.bands[Number(chosen)] ?? null;
  const clock = useClock(Number(seat) / 2, quantity.u);
  const { fit } = clock;
  const deviation = fit?.deviation_mm ?? null;
  const verdict = fit && deviation !== null ? judgeDeviation(fit, band).verdict : null;
  const typing = clock.hand !== null;
  const more = <div class="row sp mb"><TwelvePlaces clock={clock} /><a class="b flat" href={place.back}>Close</a></div>;
  return (
    <Page title="Hanger on the clock face" cls="fill small" dock={typing} foot={
      typing ? <ClockPad clock={clock} step={quantity.step}><SoFar deviation={deviation} verdict={verdict} />{more}</ClockPad> : <>{more}<button type="button" class="big full" onClick={clock.clear}>Measure again</button></>
    }>
      <p class={clock.tips.length ? "s tall" : "s"}>{quantity.how}</p>
      <ClockFace clock={clock} limit={band?.upper ?? null} line={!typing && deviation !== null && (
        <ul class="qs mt">
          <QuantityLine name={quantity.label} unit="mm" shown={num(deviation, 1)} verdict={verdict} value={deviation} whisker={whiskerOf({ value: deviation, u: 0, fit })}
            caption={fit!.deviation_interval_mm?.map((v) => num(v, 1)).join(" to ")} scale={scaleOf({ upper: band?.upper, plausible: quantity.plausible, minor: quantity.minor, major: quantity.major, zero: true })} />
        </ul>
      )} />
      {fit && <p class="note stop mt">{cautionText(place, "bent_hanger")}</p>}
      <p class="lab mt">Rim's bead seat, mm</p>
      <PickOne label="Bead seat" choices={BEAD_SEATS} value={seat} onPick={(id) => id && setSeat(id)} />
      <p class="lab mt">Band</p>
      <PickOne label="Band" cls="mb" choices={quantity.bands.map((b, i) => ({ id: String(i), label: (b.source ?? "").split(";")[0]! }))} value={chosen} onPick={(id) => id && setChosen(id)} />
    </Page>
  );
}
