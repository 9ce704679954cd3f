import { useState } from "preact/hooks";
import type { Fastener, Step } from "../../catalogue";
import { log } from "../../book";
import { scaleOf, type Scale } from "../../look/geometry";
import { num } from "../../look/number";
import { Pad, parsePad } from "../../look/pad";
import { QuantityLine } from "../../look/quantity_line";
import { stageOf, torqueOf, type Work } from "../work";
import { notSaved, useOnce } from "../once";

const UNIT = "N·m";
const STEP = 0.5;

function scaleFor(f: Fastener): Scale {
  const most = f.upper ?? 10;
  const minor = most > 20 ? 1 : 0.2;
  return scaleOf({ lower: f.lower, upper: f.upper, span: most * 0.4, plausible: [0, 100], minor, major: minor * 5 });
}

const target = (f: Fastener): string => (f.lower == null || f.upper == null ? "no figure" : f.lower === f.upper ? num(f.lower) : `${num(f.lower)} to ${num(f.upper)}`);

/** A fastener of a step: its target, and what it was tightened to. */
export function TorqueLine({ work, fastener, onTake }: { work: Work; fastener: Fastener; onTake: () => void }) {
  const entry = torqueOf(work, fastener.id);
  if (fastener.lower == null) return <li class="li"><b>{fastener.label}</b> <span class="s">{fastener.note}</span></li>;
  return (
    <QuantityLine name={fastener.label} shown={entry ? num(entry.data.applied) : "–"} unit={entry?.data.unit ?? UNIT} verdict={null}
      caption={`target ${target(fastener)}`} scale={scaleFor(fastener)} value={entry && entry.data.unit === UNIT ? entry.data.applied : null} onTake={onTake}
      spoken={`target ${target(fastener)} ${UNIT}`}>
      {fastener.note && <p class="x">{fastener.note}</p>}
    </QuantityLine>
  );
}

/** Torque on the keypad: the target stands ready, so that a click at the target is two taps. */
export function TorqueDock({ work, step, fastener, onKept, onClose }: { work: Work; step: Step; fastener: Fastener; onKept: (id: string) => void; onClose: () => void }) {
  const prefill = num(((fastener.lower ?? 0) + (fastener.upper ?? 0)) / 2);
  const [text, setText] = useState<string | null>(null);
  const [adapter, setAdapter] = useState(remembered());
  const [problem, setProblem] = useState<string | null>(null);
  const typed = text ?? prefill;
  const value = parsePad(typed);
  const set = adapter.adapter && adapter.wrench && value ? (value * adapter.wrench) / (adapter.wrench + adapter.adapter) : null;

  const once = useOnce();
  const keep = () => once(async () => {
    if (value === null || value <= 0) {
      setProblem("Type what the wrench was set to.");
      return;
    }
    remember(adapter);
    try {
      const kept = await log(work.job.id, {
        kind: "torque", stage: stageOf(work, step),
        data: { fastener: fastener.id, applied: value, unit: UNIT, ...(adapter.adapter && adapter.wrench ? { wrench_mm: adapter.wrench, adapter_mm: adapter.adapter } : {}) },
      });
      onKept(kept.entry.id);
    } catch (error) {
      setProblem(notSaved(error));
    }
  });
  const mm = (key: "wrench" | "adapter", label: string) => (
    <label class="w">{label}
      <input class="fld" inputMode="decimal" defaultValue={adapter[key] ?? ""} onInput={(e) => setAdapter({ ...adapter, [key]: Number(e.currentTarget.value) || undefined })} />
    </label>
  );
  return (
    <>
      <ul class="qs now">
        <QuantityLine name={fastener.label} shown={typed || "–"} unit={UNIT} typed verdict={null} caption={`target ${target(fastener)}`} scale={scaleFor(fastener)} value={value}>
          {problem && <p role="alert">{problem}</p>}
          {fastener.note && <div class="n how"><span class="xs">{fastener.note}</span></div>}
          <details class="plain">
            <summary>{set ? `With adapter: set the wrench to ${num(set, 1)} ${UNIT}` : "Adapter on the wrench"}</summary>
            <div class="row">{mm("wrench", "Wrench, mm")}{mm("adapter", "Adapter, mm")}</div>
          </details>
          <div class="row"><span class="w xs">The maker's figure always comes first.</span><button type="button" class="flat" onClick={onClose}>Close</button></div>
        </QuantityLine>
      </ul>
      <Pad text={typed} onText={(t) => { setText(text === null && t.startsWith(prefill) && t.length === prefill.length + 1 ? t.slice(prefill.length) : t); setProblem(null); }}
        onKeep={keep} step={STEP} signed={false} start={value} />
    </>
  );
}

const KEY = "roadproof.wrench";
interface Wrench { wrench?: number | undefined; adapter?: number | undefined }

function remembered(): Wrench {
  try {
    return JSON.parse(localStorage.getItem(KEY) ?? "{}") as Wrench;
  } catch {
    return {};
  }
}

function remember(w: Wrench): void {
  try {
    localStorage.setItem(KEY, JSON.stringify(w));
  } catch {
    // Only a convenience.
  }
}
