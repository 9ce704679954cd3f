import { useState } from "preact/hooks";
import type { Step } from "../../catalogue";
import { log } from "../../book";
import { judgeDeviation } from "../../domain/hanger";
import { Dial, HangerBehind } from "../../look/dial";
import { num } from "../../look/number";
import { Pad, parsePad } from "../../look/pad";
import { QuantityLine } from "../../look/quantity_line";
import { Leaf } from "../../look/touch";
import type { Stage, Tip } from "../../nouns";
import { radiusOf, tryFit } from "../domain_entry";
import { Page } from "../page";
import { JobHead } from "../job/head";
import { quantityState, stageOf, whiskerOf, type Work } from "../work";
import { scaleFor } from "./line";
import { notSaved, useOnce } from "../once";

const FOUR = [12, 3, 6, 9];
const TWELVE = [12, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11];

/** The hanger on the clock face: gaps at four places or more, the fitted tilt, and what to bend where. */
export function HangerSheet({ work, step, onKept, back }: { work: Work; step: Step; onKept: (id: string) => void; back: string }) {
  const quantity = work.cat.quantities.find((q) => q.input === "hanger")!;
  const q = quantityState(work, quantity);
  const [clocks, setClocks] = useState(FOUR);
  const [gaps, setGaps] = useState<Record<number, string>>({});
  const [hand, setHand] = useState<number | null>(12);
  const [stage, setStage] = useState<Stage>(stageOf(work, step));
  const [problem, setProblem] = useState<string | null>(null);
  const tips: Tip[] = clocks.flatMap((clock) => {
    const gap = parsePad(gaps[clock] ?? "");
    return gap === null ? [] : [{ clock, gap_mm: gap }];
  });
  const fit = tryFit(tips, radiusOf(work.bike), quantity.u);
  const deviation = fit?.deviation_mm ?? null;
  const verdict = fit && deviation !== null ? judgeDeviation(fit, q.band).verdict : null;

  const next = () => {
    const i = clocks.indexOf(hand ?? 12);
    const open = [...clocks.slice(i + 1), ...clocks.slice(0, i)].find((c) => parsePad(gaps[c] ?? "") === null);
    setHand(open ?? null);
  };
  const once = useOnce();
  const keep = () => once(async () => {
    if (deviation === null) {
      setProblem("Read the gap at three places at least; four are better.");
      return;
    }
    try {
      onKept((await log(work.job.id, { kind: "reading", stage, data: { quantity: "hanger_deviation", tips } })).entry.id);
    } catch (error) {
      setProblem(notSaved(error));
    }
  });

  const more = (
    <div class="row sp mb">
        <Leaf on={clocks === TWELVE} onPick={() => setClocks(clocks === FOUR ? TWELVE : FOUR)}>twelve places</Leaf>
        {work.job.kind !== "build" && <Leaf on={stage === "found"} onPick={() => setStage(stage === "found" ? "bench" : "found")}>as found</Leaf>}
        <a class="b flat" href={back}>Close</a>
      </div>
  );
  return (
    <Page title="Hanger on the clock face" cls={hand === null ? "fill" : "fill small"} head={<JobHead work={work} plan={false} />} dock={hand !== null} foot={
      hand !== null ? (
        <div class="docked">
          {more}
          <Pad text={gaps[hand] ?? ""} onText={(t) => setGaps({ ...gaps, [hand]: t })} onKeep={next} step={quantity.step} signed={false} keep="Next" start={tips[tips.length - 1]?.gap_mm ?? null} />
        </div>
      ) : (
        <>
          {problem && <p class="note stop" role="alert">{problem}</p>}
          {more}
          <div class="row">
            <button type="button" class="big w" onClick={() => { setGaps({}); setHand(12); }}>Measure again</button>
            <button type="button" class="big go w" onClick={keep}>{deviation === null ? "Keep" : `Keep ${num(deviation, 1)} mm`}</button>
          </div>
        </>
      )
    }>
      <p class="h1" aria-hidden="true">Hanger on the clock face</p>
      <p class="s">{quantity.how}</p>
      <Dial tips={tips.map((t) => ({ clock: t.clock, gap: t.gap_mm }))} limit={q.band?.upper ?? null}
        tilt={fit?.a == null || fit.b == null ? null : { mean: fit.c, a: fit.a, b: fit.b, u: quantity.u, determined: fit.steepest_clock !== null }}
        label={`Clock face: ${tips.map((t) => `${num(t.gap_mm)} at ${t.clock}`).join(", ") || "no reading yet"}. ${fit?.advice ?? ""}`} />
      <div class="four" role="group" aria-label="Gap from rim to tip, mm">
        {clocks.map((clock) => (
          <button type="button" class="big col" aria-pressed={hand === clock} onClick={() => setHand(clock)}><small>at {clock}</small>{gaps[clock] || "–"}</button>
        ))}
      </div>
      {fit && (
        <>
          {deviation !== null && (
            <ul class="qs mt">
              <QuantityLine name={quantity.label} unit="mm" shown={num(deviation, 1)} verdict={verdict} scale={scaleFor(q)} value={deviation}
                caption={fit.deviation_interval_mm ? `${num(fit.deviation_interval_mm[0], 1)} to ${num(fit.deviation_interval_mm[1], 1)}` : ""}
                whisker={whiskerOf({ value: deviation, u: 0, fit })} was={q.readingValue ?? q.baseline} />
            </ul>
          )}
          <div class="row adv">
            {fit.a !== null && <HangerBehind degrees={(Math.atan(fit.a / fit.radius_mm) * 180) / Math.PI} />}
            <div>
              <p><b>{lean(fit.vertical_mm, fit.steepest_clock)}</b> {fit.advice}</p>
              {fit.residual_mm !== null && <p class="s mt">The readings agree to {num(fit.residual_mm, 2)} mm.</p>}
              {fit.why_not && <p class="s mt">{fit.why_not}</p>}
            </div>
          </div>
        </>
      )}
    </Page>
  );
}

function lean(vertical: number | null, steepest: number | null): string {
  if (vertical === null || steepest === null) return "";
  return vertical > 0 ? "The lower end is bent in." : "The lower end is bent out.";
}
