import { useEffect, useState } from "preact/hooks";
import { log, ride, undo } from "../../book";
import { GearStrip } from "../../look/gear_strip";
import type { Bike, Gear, Job } from "../../nouns";
import { checkEntry, CheckRow } from "../check_row";
import { correcting } from "../correcting";
import { AfterHandover, JobHead, JobIndex } from "../job/head";
import { takeKept } from "../kept";
import { late } from "../late";
import { useLater } from "../later";
import { Page } from "../page";
import { go, jobLink, swap } from "../route";
import { quantityState, outcomeOf, stageOf, STEP_DONE, torqueOf, useWork, type QuantityState, type Work, type WorkStep } from "../work";
import { Waiting } from "../missing";
import { NoteSheet, ShiftSheet } from "../job/sheets";
import { Beside } from "./beside";
import { Cautions } from "./cautions";
import type { HangerProps } from "./hanger";
import { BenchLine } from "./line";
import { PairLines } from "./pairs";
import { QuantityDock } from "./quantity_dock";
import { TorqueLine } from "./torque";
import { WorkItOut } from "./work_it_out";

const HangerSheet = late<HangerProps>("Hanger on the clock face", () => import("./hanger").then((m) => m.HangerSheet));

/** In the stand: one step, what it asks, and the line in hand docked on the keypad. */
export function Bench({ bike, job, rest }: { bike: Bike; job: Job; rest: string[] }) {
  const work = useWork(bike, job);
  const [kept, setKept] = useState<string | null>(takeKept);
  useEffect(() => {
    // Whoever leaves the line in hand has given up correcting it.
    if (!rest[1]) correcting.value = null;
  }, [rest[1]]);
  if (!work) return <Waiting />;
  const at = work.steps.find((s) => s.step.id === rest[0]) ?? work.now ?? work.steps[0];
  if (!at) return <Waiting />;
  return <StepPage key={at.step.id} work={work} at={at} item={rest[1]} gear={parseGear(rest[2])} kept={kept} setKept={setKept} />;
}

const parseGear = (text: string | undefined): Gear | null => {
  const [ring, cog] = (text ?? "").split("x").map(Number);
  return ring && cog ? { ring, cog } : null;
};
export const gearPart = (gear: Gear | null): string[] => (gear ? [`${gear.ring}x${gear.cog}`] : []);

interface StepProps {
  work: Work;
  at: WorkStep;
  item: string | undefined;
  gear: Gear | null;
  kept: string | null;
  setKept: (id: string | null) => void;
}

function StepPage({ work, at, item, gear, kept, setKept }: StepProps) {
  const { step } = at;
  const later = useLater(() => import("../beside"));
  const link = (...rest: string[]) => jobLink(work.job.id, "bench", step.id, ...rest);
  const lines = [...at.quantities, ...at.also];
  const line = lines.find((q) => q.quantity.id === item);
  const fastener = [...at.fasteners, ...at.alsoFasteners].find((f) => f.id === item);
  const inHand = line && (gear ? quantityState(work, line.quantity, gear) : line);
  const done = (id: string) => {
    setKept(id);
    const next = nextOpen(work, at, item);
    swap(next ? link(next) : link());
  };
  const take = (q: QuantityState) => (item ? swap : go)(link(q.quantity.id, ...(q.quantity.gear && q.quantity.gear !== "none" ? gearPart(q.gear) : [])));

  const back = { back: link(), backWords: `Back: ${step.label.toLowerCase()}` };
  if (item === "shifts") return <ShiftSheet work={work} stage={stageOf(work, step)} {...back} />;
  if (item === "note") return <NoteSheet work={work} stage={stageOf(work, step)} checks={step.checks} {...back} />;
  if (inHand?.quantity.input === "hanger") return <HangerSheet work={work} step={step} onKept={(id) => { setKept(id); go(link()); }} back={link()} />;

  const foot = inHand
    ? <QuantityDock key={`${inHand.quantity.id}${gear?.cog ?? ""}`} work={work} step={step} state={inHand} onKept={done} onClose={() => swap(link())}
        onGear={(g) => swap(link(inHand.quantity.id, ...gearPart(g)))} />
    : fastener ? later && <later.TorqueDock key={fastener.id} work={work} step={step} fastener={fastener} onKept={done} onClose={() => swap(link())} />
    : <StepFoot work={work} at={at} />;

  const row = (q: QuantityState) => q.quantity.id === item && inHand ? null : (
    <BenchLine key={q.quantity.id} work={work} state={q} onTake={() => take(q)}>
      {q.readingId === kept && kept && <Kept work={work} id={kept} onUndo={() => setKept(null)} />}
    </BenchLine>
  );
  const torque = (list: typeof at.fasteners) => list.map((f) => f.id !== item && (
    <TorqueLine key={f.id} work={work} fastener={f} onTake={() => (item ? swap : go)(link(f.id))}>
      {kept && torqueOf(work, f.id)?.id === kept && <Kept work={work} id={kept} onUndo={() => setKept(null)} />}
    </TorqueLine>
  ));

  return (
    <Page title={step.label} cls={inHand || fastener ? "fill small" : "fill"} head={<JobHead work={work} />} foot={foot} dock={!!(inHand || fastener)}>
      <p class="h1 step" aria-hidden="true">{work.steps.indexOf(at) + 1}&ensp;{step.label}</p>
      <AfterHandover work={work} />
      <Standing work={work} at={at} />
      {!inHand && !fastener && <p class="mb">{step.words}</p>}
      <Cautions work={work} ids={step.cautions} />
      {step.id === "arrival" && !item && later && <later.Arrived work={work} />}
      {(at.quantities.length > 0 || at.fasteners.length > 0) && (
        <ul class="qs mt">
          {at.quantities.map(row)}
          <PairLines work={work} of={lines} />
          {torque(at.fasteners)}
        </ul>
      )}
      {at.checks.length > 0 && !item && (
        <ul class="mt">
          {at.checks.map((c) => <CheckRow key={c.id} check={c} entry={checkEntry(work, c.id)} outcome={outcomeOf(work, c.id)}
            onOutcome={(outcome) => void log(work.job.id, { kind: "check", stage: ride.value?.jobId === work.job.id ? "road" : "bench", data: { check: c.id, outcome } })} />)}
        </ul>
      )}
      {(at.also.length > 0 || at.alsoFasteners.length > 0) && (
        <>
          <h2>{at.quantities.length || at.fasteners.length ? "Can be read here too" : "Can be read here"}</h2>
          <ul class="qs">{at.also.map(row)}{torque(at.alsoFasteners)}</ul>
        </>
      )}
      {!item && later && <later.BenchTurns work={work} step={step} />}
      {!item && <Beside work={work} step={step} />}
      {!item && <WorkItOut work={work} step={step} />}
    </Page>
  );
}

/** What is still open in this step, after the item in hand. */
function nextOpen(work: Work, at: WorkStep, item: string | undefined): string | null {
  const asked = [...at.quantities.map((q) => q.quantity.id), ...at.fasteners.map((f) => f.id)];
  const read = new Set([...at.quantities.filter((q) => q.readingId).map((q) => q.quantity.id), item]);
  for (const f of at.fasteners) if (work.standing.some((e) => e.kind === "torque" && e.data.fastener === f.id)) read.add(f.id);
  const from = asked.indexOf(item ?? "");
  const order = [...asked.slice(from + 1), ...asked.slice(0, Math.max(0, from))];
  return order.find((id) => !read.has(id) && at.quantities.find((q) => q.quantity.id === id)?.quantity.input !== "hanger") ?? null;
}

function Kept({ work, id, onUndo }: { work: Work; id: string; onUndo: () => void }) {
  const entry = work.entries.find((e) => e.entry.id === id);
  if (!entry) return null;
  return (
    <p class="row sp kept" role="status">
      <span class={entry.state === "confirmed" ? "s" : "pencil"}>{entry.state === "confirmed" ? "kept and confirmed" : "kept on this phone"}</span>
      <button type="button" class="flat" onClick={() => void undo(id).then(onUndo)}>Undo</button>
    </p>
  );
}

/** Why a step waits or is held, and what better comes first. */
function Standing({ work, at }: { work: Work; at: WorkStep }) {
  const name = (id: string) => `“${work.steps.find((s) => s.step.id === id)?.step.label ?? id}”`;
  const { state } = at;
  if (state.held_by_part?.length) {
    const parts = state.held_by_part.map((id) => work.cat.parts.find((p) => p.id === id)?.label ?? id).join(", ");
    return <p class="note"><b>Held:</b> no {parts}. Other steps go on. <a href={jobLink(work.job.id, "plan")}>The part is here</a></p>;
  }
  if (state.waits_for?.length) return <p class="s"><b>Waits for</b> {state.waits_for.map(name).join(", ")}.</p>;
  if (state.better_after?.length && state.state !== "done") return <p class="s">Better after {state.better_after.map(name).join(", ")}.</p>;
  return null;
}

function StepFoot({ work, at }: { work: Work; at: WorkStep }) {
  const asks = at.quantities.length + at.fasteners.length + at.checks.length > 0;
  const i = work.steps.indexOf(at);
  const next = work.steps.slice(i + 1).find((s) => s.state.state === "ready") ?? work.steps.find((s) => s.state.state === "ready" && s !== at);
  const mark = (outcome: "passed" | "not_done") =>
    void log(work.job.id, { kind: "check", stage: "bench", data: { check: STEP_DONE + at.step.id, outcome } });
  const isDone = at.state.state === "done";
  const special = at.step.id === "test_ride" ? "road" : at.step.id === "handover" ? "handover" : null;
  return (
    <>
      <div class="row">
        {special
          ? <a class="b big go w" href={jobLink(work.job.id, special)}>{special === "road" ? "To the test ride" : "To the handover"}</a>
          : (
            <>
              {isDone && !asks
                ? <button type="button" class="big w" onClick={() => mark("not_done")}>Not done after all</button>
                : !isDone && <button type="button" class={asks ? "big w" : "big go w"} onClick={() => mark("passed")}>{asks ? "Done without the rest" : "Mark as done"}</button>}
              {next
                ? <a class={`b big w ${asks || isDone ? "go" : ""}`} href={jobLink(work.job.id, "bench", next.step.id)}>Next: {next.step.label.toLowerCase()}</a>
                : <a class="b big w" href={jobLink(work.job.id, "plan")}>To the plan</a>}
            </>
          )}
      </div>
      <JobIndex work={work} at="bench" />
    </>
  );
}

/** Rings and cogs to choose the gear a reading belongs to. */
export function GearChoice({ bike, gear, onGear }: { bike: Bike; gear: Gear | null; onGear: (g: Gear) => void }) {
  const { rings, cogs } = bike.drivetrain;
  return (
    <GearStrip rings={rings} cogs={cogs} ring={gear?.ring ?? null} cog={gear?.cog ?? null}
      onGear={(ring, cog) => onGear({ ring: ring ?? Math.min(...rings), cog: cog ?? Math.max(...cogs) })} />
  );
}
