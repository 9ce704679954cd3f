import { useState } from "preact/hooks";
import type { Step } from "../../catalogue";
import { judge, judgeInterval } from "../../domain/conformity";
import { GUARD } from "../../look/geometry";
import { num, time } from "../../look/number";
import { Pad, parsePad } from "../../look/pad";
import { QuantityLine } from "../../look/quantity_line";
import { Leaf } from "../../look/touch";
import type { EntryDraft, Gear, Stage } from "../../nouns";
import { gearWords, unitLabel } from "../entry_words";
import { toolFor, toolLink } from "../tools";
import { stageOf, whiskerOf, type QuantityState, type Work } from "../work";
import { GearChoice } from "./bench";
import { WhoLogs } from "../job/who_logs";
import { noBandWords, scaleFor } from "./line";
import { implausible } from "../plausible";
import { notSaved, useOneAtATime } from "../once";
import { correcting, headOf } from "../correcting";
import { go, jobLink } from "../route";
import { withKm } from "../kilometres";
import { logWith, PhotoInHand, photosBegun } from "../photos";

interface DockProps {
  work: Work;
  step: Step;
  state: QuantityState;
  onKept: (entryId: string) => void;
  onClose: () => void;
  onGear: (gear: Gear) => void;
}

/** The line in hand on its keypad: the verdict stands while the digits are typed. */
export function QuantityDock({ work, step, state: q, onKept, onClose, onGear }: DockProps) {
  const { quantity } = q;
  const fixing = correcting.value && correcting.value.data.quantity === quantity.id && correcting.value.job_id === work.job.id ? correcting.value : null;
  const wrong = fixing && "value" in fixing.data ? fixing.data.value : null;
  const last = wrong ?? q.value ?? (quantity.setting ? q.baseline : null);
  const prefill = last === null ? "" : num(last, Math.max(quantity.digits, 2));
  const [text, setText] = useState<string | null>(null);
  const [feeler, setFeeler] = useState(q.low !== null || (q.value === null && q.baselineLeaf !== null));
  const [leaf, setLeaf] = useState<readonly [number, number] | null>(null);
  const [stage, setStage] = useState<Stage>(stageOf(work, step));
  const [picking, setPicking] = useState(false);
  const [problem, setProblem] = useState<string | null>(null);

  const typed = text ?? prefill;
  const value = feeler ? null : parsePad(typed);
  const unit = unitLabel(work.cat, quantity.unit);
  const odd = value === null ? null : implausible(work.cat, quantity, value);
  const judged = odd ? null : feeler ? leaf && judgeInterval(leaf[0], leaf[1], q.band) : value === null ? null : judge(value, quantity.u, q.band);
  const verdict = judged && judged.verdict !== "none" ? judged.verdict : null;

  const photos = photosBegun(`${work.job.id} ${quantity.id}`);
  const tool = toolFor(quantity.id);
  const once = useOneAtATime();
  const keep = () => once(async () => {
    const data = feeler && leaf ? { quantity: quantity.id, low: leaf[0], high: leaf[1], unit: quantity.unit }
      : value !== null && !odd ? { quantity: quantity.id, value, unit: quantity.unit } : null;
    if (!data) {
      setProblem(feeler ? "Tap the thickest feeler that goes." : odd ?? "Type the reading first.");
      return false;
    }
    return write(data);
  });
  const write = async (data: object) => {
    try {
      const head = fixing ? headOf(fixing) : { stage, ...(q.gear && quantity.gear !== "none" ? { gear: q.gear } : {}) };
      const draft = { kind: "reading", ...head, data } as EntryDraft;
      const kept = await logWith(photos, work.job.id, fixing ? draft : withKm(work.job.id, draft));
      if (fixing) {
        correcting.value = null;
        go(jobLink(work.job.id, "plan"));
      } else onKept(kept.entry.id);
      return true;
    } catch (error) {
      setProblem(notSaved(error));
      return false;
    }
  };
  const same = fixing || q.stale ? null : lastOf(q);

  const shown = feeler ? (leaf ? `${num(leaf[0])}–${num(leaf[1])}` : "–") : typed || "–";
  const caption = [
    q.readingValue !== null ? `was ${num(q.readingValue, 3, quantity.signed)}` : q.baseline !== null ? `handed over ${num(q.baseline, 3, quantity.signed)}` : q.band?.target != null ? `target ${num(q.band.target)}` : "",
    feeler ? (leaf ? `${num(leaf[0])} goes, ${num(leaf[1])} not` : "") : quantity.u ? `±${num(GUARD * quantity.u, 2)}` : "",
  ].filter(Boolean).join(", ");

  return (
    <>
      <ul class="qs now">
        <QuantityLine name={`${quantity.label}${q.gear && quantity.gear !== "none" ? `, ${gearWords(q.gear)}` : ""}`} shown={shown} unit={unit} typed={!feeler}
          verdict={verdict} caption={caption} scale={scaleFor(q)} value={odd ? null : value} leaf={feeler ? leaf : null}
          whisker={value !== null && !odd ? whiskerOf({ value, u: quantity.u }) : null} was={q.readingValue ?? q.baseline}>
          <p class="sr" role="status">{verdict ? `${shown} ${unit}: ${verdict}` : ""}</p>
          {fixing && <p class="s">Correcting what was read {time(fixing.taken_at)}; both stay readable.</p>}
          {problem && <p role="alert">{problem}</p>}
          <div class="n how"><span class="xs">{quantity.how} {noBandWords(q)}</span></div>
          <div class="row wrapping">
            {quantity.go_no_go && <Leaf on={feeler} onPick={() => { setFeeler(!feeler); setProblem(null); }}>go/no-go</Leaf>}
            {quantity.gear && quantity.gear !== "none" && !fixing && <button type="button" class="flat" aria-expanded={picking} onClick={() => setPicking(!picking)}>Other gear</button>}
            {work.job.kind !== "build" && !fixing && <Leaf on={stage === "found"} onPick={() => setStage(stage === "found" ? "bench" : "found")}>as found</Leaf>}
            {same && (
              <button type="button" class="flat" onClick={() => once(() => write({ quantity: quantity.id, ...same.value, unit: quantity.unit }))}>Same as last: {same.words}</button>
            )}
            {tool && <a class="b flat" href={toolLink(work.job.id, tool.id, step.id)}>Work it out</a>}
            <PhotoInHand photos={photos} />
            <span class="w" />
            <button type="button" class="flat" onClick={onClose}>Close</button>
          </div>
        </QuantityLine>
      </ul>
      <WhoLogs beside />
      {picking && <GearChoice bike={work.bike} gear={q.gear} onGear={onGear} />}
      {feeler
        ? <Feelers sizes={quantity.go_no_go!} leaf={leaf} unit={unit} onLeaf={(l) => { setLeaf(l); setProblem(null); }} onKeep={keep} />
        : <Pad text={typed} onText={(t) => { setText(t); setProblem(null); }} fresh={(text === null && prefill !== "") || problem !== null} onKeep={keep} step={quantity.step} signed={!!quantity.signed} start={last ?? q.baseline ?? q.band?.target ?? null} />}
    </>
  );
}

/** What was read last in this job, else handed over at the last visit, to be kept again in one tap. */
function lastOf(q: QuantityState): { words: string; value: { value: number } | { low: number; high: number } } | null {
  const leaf = q.value !== null ? (q.low !== null && q.high !== null ? [q.low, q.high] as const : null) : q.baselineLeaf;
  if (leaf) return { words: `${num(leaf[0])} goes, ${num(leaf[1])} not`, value: { low: leaf[0], high: leaf[1] } };
  const value = q.value ?? q.baseline;
  return value === null ? null : { words: num(value, Math.max(q.quantity.digits, 2), q.quantity.signed), value: { value } };
}

/** Feeler or hex key sizes: the thickest that goes; the next one is taken not to. */
function Feelers({ sizes, leaf, unit, onLeaf, onKeep }: { sizes: number[]; leaf: readonly [number, number] | null; unit: string; onLeaf: (l: readonly [number, number]) => void; onKeep: () => void }) {
  const all = [0, ...sizes];
  return (
    <>
      <p class="s mt">The thickest that goes, in {unit}. The next one then does not.</p>
      <div class="cogs mt" role="group" aria-label="Thickest that goes">
        {all.slice(0, -1).map((size, i) => (
          <button type="button" class="key" aria-pressed={leaf?.[0] === size} onClick={() => onLeaf([size, all[i + 1]!])}>{size ? num(size) : "none"}</button>
        ))}
      </div>
      <button type="button" class="big go full" onClick={onKeep}>{leaf ? `Keep ${num(leaf[0])} goes, ${num(leaf[1])} does not` : "Keep"}</button>
    </>
  );
}
