import { useState } from "preact/hooks";
import type { Fastener, Step } from "../../catalogue";
import { num } from "../../look/number";
import { Pad, parsePad } from "../../look/pad";
import { QuantityLine } from "../../look/quantity_line";
import { Leaf } from "../../look/touch";
import { WhoLogs } from "../job/who_logs";
import { unitLabel } from "../entry_words";
import { makersFigure } from "../makers_figure";
import { notSaved, useOneAtATime } from "../once";
import { logWith, PhotoInHand, photosBegun } from "../photos";
import { absurdTorque } from "../plausible";
import { toolLink } from "../tools";
import { NM, notJudged, targetWords, torqueScale, tryTorqueAt } from "../torque_value";
import { stageOf, torqueOf, type Work } from "../work";
import { WrenchPick } from "../wrench_pick";
import { wrenchAtHand } from "../wrenches";

const STEP = 0.5;

/** Torque on the keypad: target and wrench stand ready, so that a click at the target is two taps. */
export function TorqueDock({ work, step, fastener, onKept, onClose }: { work: Work; step: Step; fastener: Fastener; onKept: (id: string) => void; onClose: () => void }) {
  const [maker, setMaker] = useState<number | null>(() => makersFigure(work, fastener.id));
  const prefill = num(maker ?? ((fastener.lower ?? 0) + (fastener.upper ?? 0)) / 2);
  const [text, setText] = useState<string | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  const typed = text ?? prefill;
  const value = parsePad(typed);
  const gauge = wrenchAtHand();
  const data = value !== null && value > 0 ? { fastener: fastener.id, applied: value, unit: NM, ...(maker !== null && { target: maker }) } : null;
  const at = data && tryTorqueAt(work.cat, data, gauge?.id);
  const was = torqueOf(work, fastener.id);
  const limits = maker === null ? fastener : { lower: maker, upper: maker };

  const photos = photosBegun(`${work.job.id} ${fastener.id}`);
  const once = useOneAtATime();
  const keep = () => once(async () => {
    const odd = data ? absurdTorque(work.cat, Math.max(data.applied, data.target ?? 0)) : "Type what the wrench was set to.";
    if (!data || odd) {
      setProblem(odd);
      return false;
    }
    try {
      onKept((await logWith(photos, work.job.id, { kind: "torque", stage: stageOf(work, step), ...(gauge && { gauge_id: gauge.id }), data })).entry.id);
      return true;
    } catch (error) {
      setProblem(notSaved(error));
      return false;
    }
  });
  const setFigure = () => {
    if (maker !== null) setMaker(null);
    else if (data) {
      const odd = absurdTorque(work.cat, data.applied);
      if (odd) return setProblem(odd);
      setMaker(data.applied);
    }
    setText(typed);
  };
  return (
    <>
      <ul class="qs now">
        <QuantityLine name={fastener.label} shown={typed || "–"} unit={NM} typed verdict={at?.verdict ?? null} {...notJudged(at)} caption={`${was ? `was ${num(was.data.applied)} ${unitLabel(work.cat, was.data.unit)}, ` : ""}target ${targetWords(limits)}${maker === null ? "" : ", the maker's"}`}
          scale={torqueScale(limits)} value={value} whisker={at?.spread_nm ?? null}>
          {problem && <p role="alert">{problem}</p>}
          {at?.refused && <p role="status">{at.refused}</p>}
          {fastener.note && <div class="n how"><span class="xs">{fastener.note}</span></div>}
          <p class="xs">The maker's figure always comes first: type it, and say that it is the maker's.</p>
          <WrenchPick cat={work.cat} />
          <div class="row wrapping mt">
            <Leaf on={maker !== null} onPick={setFigure}>the maker's figure</Leaf>
            <a class="b flat" href={toolLink(work.job.id, "torque", step.id, fastener.id)}>Adapter, units, range</a>
            <PhotoInHand photos={photos} />
            <span class="w" />
            <button type="button" class="flat" onClick={onClose}>Close</button>
          </div>
        </QuantityLine>
      </ul>
      <WhoLogs beside />
      <Pad text={typed} onText={(t) => { setText(t); setProblem(null); }} fresh={text === null || problem !== null}
        onKeep={keep} step={STEP} signed={false} start={value} />
    </>
  );
}
