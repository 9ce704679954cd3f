import { useState } from "preact/hooks";
import type { ComponentChildren } from "preact";
import type { Fastener, Step } from "../../catalogue";
import { log } from "../../book";
import { num } from "../../look/number";
import { Pad, parsePad } from "../../look/pad";
import { QuantityLine } from "../../look/quantity_line";
import { notSaved, useOnce } from "../once";
import { toolLink } from "../tools";
import { NM, targetWords, torqueScale, tryTorqueAt } from "../torque_value";
import { stageOf, torqueOf, type Work } from "../work";

const STEP = 0.5;

/** A fastener of a step: its target, and what reached it. */
export function TorqueLine({ work, fastener, onTake, children }: { work: Work; fastener: Fastener; onTake: () => void; children?: ComponentChildren }) {
  const entry = torqueOf(work, fastener.id);
  if (fastener.lower == null) return <li class="li"><b>{fastener.label}</b> <span class="s">{fastener.note}</span></li>;
  const at = entry && tryTorqueAt(work.cat, entry.data, fastener);
  const shown = entry && (entry.data.adapter_mm || entry.data.unit !== NM) ? `, wrench ${num(entry.data.applied, 1)} ${entry.data.unit}` : "";
  return (
    <QuantityLine name={fastener.label} shown={at ? num(at.value_nm, 1) : "–"} unit={NM} verdict={at?.verdict ?? null} caption={`target ${targetWords(fastener)}${shown}`}
      scale={torqueScale(fastener)} value={at?.value_nm ?? null} whisker={at?.spread_nm ?? null} onTake={onTake} spoken={`target ${targetWords(fastener)} ${NM}`}>
      {fastener.note && <p class="x">{fastener.note}</p>}
      {children}
    </QuantityLine>
  );
}

/** Torque on the keypad: the target stands ready, so that a click at the target is two taps. */
export function TorqueDock({ work, step, fastener, onKept, onClose }: { work: Work; step: Step; fastener: Fastener; onKept: (id: string) => void; onClose: () => void }) {
  const prefill = num(((fastener.lower ?? 0) + (fastener.upper ?? 0)) / 2);
  const [text, setText] = useState<string | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  const typed = text ?? prefill;
  const value = parsePad(typed);
  const data = value !== null && value > 0 ? { fastener: fastener.id, applied: value, unit: NM } : null;
  const at = data && tryTorqueAt(work.cat, data, fastener);

  const once = useOnce();
  const keep = () => once(async () => {
    if (!data) {
      setProblem("Type what the wrench was set to.");
      return;
    }
    try {
      onKept((await log(work.job.id, { kind: "torque", stage: stageOf(work, step), data })).entry.id);
    } catch (error) {
      setProblem(notSaved(error));
    }
  });
  return (
    <>
      <ul class="qs now">
        <QuantityLine name={fastener.label} shown={typed || "–"} unit={NM} typed verdict={at?.verdict ?? null} caption={`target ${targetWords(fastener)}`}
          scale={torqueScale(fastener)} value={value} whisker={at?.spread_nm ?? null}>
          {problem && <p role="alert">{problem}</p>}
          {fastener.note && <div class="n how"><span class="xs">{fastener.note}</span></div>}
          <p class="xs">The maker's figure always comes first.</p>
          <div class="row sp">
            <a class="b flat" href={toolLink(work.job.id, "torque", step.id, fastener.id)}>Adapter, units, range</a>
            <button type="button" class="flat" onClick={onClose}>Close</button>
          </div>
        </QuantityLine>
      </ul>
      <Pad text={typed} onText={(t) => { setText(text === null && t.startsWith(prefill) && t.length === prefill.length + 1 ? t.slice(prefill.length) : t); setProblem(null); }}
        onKeep={keep} step={STEP} signed={false} start={value} />
    </>
  );
}
