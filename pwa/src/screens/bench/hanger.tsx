import { useEffect, useRef, useState } from "preact/hooks";
import type { Step } from "../../catalogue";
import { judgeDeviation } from "../../domain/hanger";
import { num } from "../../look/number";
import { QuantityLine } from "../../look/quantity_line";
import { Leaf } from "../../look/touch";
import type { Stage } from "../../nouns";
import { ClockFace, ClockPad, SoFar, TwelvePlaces, useClock } from "../clock_face";
import { radiusOf } from "../domain_entry";
import { JobHead } from "../job/head";
import { notSaved, useOnce } from "../once";
import { Page } from "../page";
import { quantityState, stageOf, whiskerOf, type Work } from "../work";
import { Indexing } from "../work_out/indexing";
import { Cautions } from "./cautions";
import { scaleFor } from "./line";
import { withKm } from "../kilometres";
import { logWith, PhotoInHand, photosBegun } from "../photos";

export interface HangerProps { work: Work; step: Step; onKept: (id: string) => void; back: string }

/** The hanger on the clock face: gaps at four places or more, the fitted tilt, and what to bend where. */
export function HangerSheet({ work, step, onKept, back }: HangerProps) {
  const quantity = work.cat.quantities.find((q) => q.input === "hanger")!;
  const q = quantityState(work, quantity);
  const clock = useClock(radiusOf(work.bike), quantity.u);
  const [stage, setStage] = useState<Stage>(stageOf(work, step));
  const [problem, setProblem] = useState<string | null>(null);
  const { fit } = clock;
  const deviation = fit?.deviation_mm ?? null;
  const verdict = fit && deviation !== null ? judgeDeviation(fit, q.band).verdict : null;

  const photos = photosBegun(`${work.job.id} ${quantity.id}`);
  const once = useOnce();
  const keep = () => once(async () => {
    if (deviation === null) {
      setProblem("Read the gap at three places at least; four are better.");
      return;
    }
    try {
      onKept((await logWith(photos, work.job.id, withKm(work.job.id, { kind: "reading", stage, data: { quantity: "hanger_deviation", tips: clock.tips } }))).entry.id);
    } catch (error) {
      setProblem(notSaved(error));
    }
  });

  const more = (
    <div class="row sp mb wrapping">
      <TwelvePlaces clock={clock} />
      {work.job.kind !== "build" && <Leaf on={stage === "found"} onPick={() => setStage(stage === "found" ? "bench" : "found")}>as found</Leaf>}
      <PhotoInHand photos={photos} />
      <a class="b flat" href={back}>Close</a>
    </div>
  );
  const typing = clock.hand !== null;
  const keeps = useRef<HTMLButtonElement>(null);
  useEffect(() => {
    // After the last place Enter keeps, as it does on every other line.
    if (!typing) keeps.current?.focus({ preventScroll: true });
  }, [typing]);
  return (
    <Page title="Hanger on the clock face" cls="fill small" head={<JobHead work={work} plan={false} />} dock={typing} foot={
      typing ? <ClockPad clock={clock} step={quantity.step}><SoFar deviation={deviation} verdict={verdict} />{more}</ClockPad> : (
        <>
          {problem && <p class="note stop" role="alert">{problem}</p>}
          {more}
          <div class="row">
            <button type="button" class="big w" onClick={clock.clear}>Measure again</button>
            <button type="button" ref={keeps} class="big go w" onClick={keep}>{deviation === null ? "Keep" : `Keep ${num(deviation, 1)} mm`}</button>
          </div>
        </>
      )
    }>
      <p class="h1" aria-hidden="true">Hanger on the clock face</p>
      <p class={clock.tips.length ? "s tall" : "s"}>{quantity.how}</p>
      <ClockFace clock={clock} limit={q.band?.upper ?? null} line={!typing && deviation !== null && (
        <ul class="qs mt">
          <QuantityLine name={quantity.label} unit="mm" shown={num(deviation, 1)} verdict={verdict} scale={scaleFor(q)} value={deviation}
            caption={fit!.deviation_interval_mm ? `${num(fit!.deviation_interval_mm[0], 1)} to ${num(fit!.deviation_interval_mm[1], 1)}` : ""}
            whisker={whiskerOf({ value: deviation, u: 0, fit })} was={q.readingValue ?? q.baseline} />
        </ul>
      )} />
      {fit && <Indexing fit={fit} drivetrain={work.bike.drivetrain} />}
      {fit && <Cautions work={work} ids={["bent_hanger"]} />}
    </Page>
  );
}
