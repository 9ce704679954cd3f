import { useState } from "preact/hooks";
import { FEWEST_COGS, centreOf, rubWindow, type CogWindow, type RubWindow } from "../../domain/rub_window";
import { scaleOf } from "../../look/geometry";
import { amount, count, list, num } from "../../look/number";
import { QuantityLine } from "../../look/quantity_line";
import { PickOne, PickSome } from "../../look/touch";
import type { EntryDraft } from "../../nouns";
import { radiusOf } from "../domain_entry";
import { turnedWords } from "../entry_words";
import type { Work } from "../work";
import { implausible } from "../plausible";
import { FigureGrid, useFigures, type Figure } from "./figures";
import { KeepFoot, useKeeping } from "./keeping";
import { cautionText, type Place } from "./place";
import { attempt, Reason, Sheet } from "./sheet";
import { countsFor, IN, OUT, type CogCount } from "./windows";

const Z = 1.96;

/** The best fine position, and the hanger's tilt since the handover, from the first noise on three cogs or more. */
export function RubSheet({ place }: { place: Place }) {
  const { rings, cogs } = place.work?.bike.drivetrain ?? { rings: [], cogs: [] };
  const [ring, setRing] = useState(Math.min(...rings));
  if (!place.work) return null;
  return <OnRing key={ring} place={place} work={place.work} rings={rings} cogs={cogs} ring={ring} onRing={setRing} />;
}

interface OnRingProps { place: Place; work: Work; rings: number[]; cogs: number[]; ring: number; onRing: (ring: number) => void }

function OnRing({ place, work, rings, cogs, ring, onRing }: OnRingProps) {
  const { now, then } = countsFor(work, ring);
  const [chosen, setChosen] = useState<number[]>(() => startCogs(cogs, now, then));
  const stepMm = work.bike.drivetrain.trim_step_mm;
  const figures = useFigures([...chosen.flatMap((cog) => asked(cog, now.get(cog))), { id: "step", label: "One step", unit: "mm", step: 0.05, known: stepMm, loose: true, start: 0.2, how: "At the guide pulley, by the maker. The tilt needs it." }]);
  const keeping = useKeeping(place);
  const quantity = work.cat.quantities.find((q) => q.id === IN)!;
  const windows: CogWindow[] = chosen.flatMap((cog) => {
    const [inward, outward] = [figures.value(`in${cog}`), figures.value(`out${cog}`)];
    return inward === null || outward === null ? [] : [{ cog, in_steps: inward, out_steps: outward }];
  });
  const step = figures.value("step");
  // Without the size of a step there is still a best position, only no tilt.
  const { answer: found, reason } = attempt(() => rubWindow(windows, step === null ? null : then, step ?? 1, radiusOf(work.bike), quantity.u));
  const drafts = fresh(figures.value, chosen, ring, now, keeping.stage);
  const keep = () => {
    if (!drafts.length) return keeping.say(windows.length ? "These counts are kept already." : "Count the steps on three cogs first.");
    const odd = drafts.map((d) => (d.kind === "reading" && "value" in d.data ? implausible(place.cat, quantity, d.data.value) : null)).find((words) => words !== null);
    if (odd) return keeping.say(odd);
    keeping.keepHere(drafts, count(drafts.length, "count"));
  };

  return (
    <Sheet place={place} title="Rub window" figures={figures} foot={
      <KeepFoot place={place} keeping={keeping} keep={drafts.length ? `Keep ${count(drafts.length, "count")}` : "Keep"} onKeep={keep} />
    }>
      <p class="s">Fine steps from where it stands to the first noise, inboard and outboard, on three cogs at least; then back. {cautionText(place, "fingers_clear")}</p>
      {found ? <Answer work={work} found={found} step={step} then={then} /> : windows.length >= FEWEST_COGS && <Reason words={reason} />}
      {windows.length > 0 && (
        <ul class="qs free mt">
          {windows.map((w) => <Window key={w.cog} window={w} before={then.find((t) => t.cog === w.cog)} />)}
        </ul>
      )}
      {!found && windows.length < FEWEST_COGS && <p class="s mt">{windows.length} of {FEWEST_COGS} cogs counted.</p>}
      <h2 class="tight">Steps to the first noise</h2>
      <FigureGrid figures={figures} label="Steps to the first noise" cols={2} />
      {rings.length > 1 && (
        <>
          <p class="lab">Counted on the ring</p>
          <PickOne label="Ring" cls="c2" choices={rings.map((n) => ({ id: String(n), label: String(n) }))} value={String(ring)} onPick={(id) => id && onRing(Number(id))} />
        </>
      )}
      <details class="mt3">
        <summary>Other cogs, or more of them</summary>
        <PickSome label="Cogs, outboard left" cls="mb" choices={[...cogs].sort((a, b) => a - b).map((n) => ({ id: String(n), label: String(n) }))} value={chosen.map(String)}
          onPick={(ids) => setChosen(ids.map(Number).sort((a, b) => b - a))} />
      </details>
    </Sheet>
  );
}

/** The cogs counted already, else those of the last handover, else the largest, a middle and the smallest one. */
function startCogs(cogs: readonly number[], now: Map<number, CogCount>, then: CogWindow[]): number[] {
  const falling = [...cogs].sort((a, b) => b - a);
  const counted = now.size ? [...now.keys()] : then.map((w) => w.cog);
  if (counted.length >= FEWEST_COGS) return counted.sort((a, b) => b - a);
  return [...new Set([falling[0]!, falling[Math.floor(falling.length / 2)]!, falling.at(-1)!])];
}

function asked(cog: number, counted: CogCount | undefined): Figure[] {
  const side = (id: string, label: string, how: string, known: number | null | undefined): Figure => ({ id: `${id}${cog}`, label, unit: "steps", step: 1, known, start: 4, how });
  return [
    side("out", `Cog ${cog}, outboard`, `On the cog with ${cog} teeth: steps outboard until it makes a noise, then back. 0 where it makes one as it stands.`, counted?.out_steps),
    side("in", `Cog ${cog}, inboard`, `On the cog with ${cog} teeth: steps inboard until it makes a noise, then back. 0 where it makes one as it stands.`, counted?.in_steps),
  ];
}

/** The counts that are not written down yet. */
function fresh(value: (id: string) => number | null, cogs: number[], ring: number, now: Map<number, CogCount>, stage: EntryDraft["stage"]): EntryDraft[] {
  return cogs.flatMap((cog) => ([["in", IN, now.get(cog)?.in_steps], ["out", OUT, now.get(cog)?.out_steps]] as const).flatMap(([id, quantity, kept]): EntryDraft[] => {
    const steps = value(`${id}${cog}`);
    return steps === null || steps === kept ? [] : [{ kind: "reading", stage, gear: { ring, cog }, data: { quantity, value: steps, unit: "step" } }];
  }));
}

/** One cog's window: the chain is quiet between the two noises. Outboard is left. */
function Window({ window: w, before }: { window: CogWindow; before: CogWindow | undefined }) {
  const scale = scaleOf({ reference: 0, setting: true, signed: true, plausible: [-40, 40], minor: 1, major: 5, span: 10, ends: ["outboard", "inboard"] });
  const centre = centreOf(w);
  return (
    <QuantityLine name={`Cog ${w.cog}, quiet window`} unit="steps" shown={num(w.in_steps + w.out_steps, 1)} verdict={null} caption={`middle ${num(centre, 1, true)}`} scale={scale}
      leaf={[-w.out_steps, w.in_steps]} was={before ? centreOf(before) : null} spoken={`quiet from ${num(-w.out_steps, 1, true)} to ${num(w.in_steps, 1, true)} steps`} />
  );
}

function Answer({ work, found, step, then }: { work: Work; found: RubWindow; step: number | null; then: CogWindow[] }) {
  const move = Math.round(found.centre_steps);
  const tilt = found.tilt_interval_deg;
  const width = found.width_change_steps;
  return (
    <>
      <p class="mt"><b>{move === 0 ? "It stands in the middle." : `Best ${turnedWords(work.cat, "rear_trim", move, "step")} of where it stands.`}</b> The middle is {amount(found.centre_steps, 1, "step", true)}, ±{num(Z * found.u_centre_steps, 1)}; the window is {num(found.width_steps, 1)} wide.</p>
      {found.tilt_deg !== null && tilt && (
        <p class="mt">Since the handover the hanger's lower end has tilted by <b>{num(found.tilt_deg, 2, true)}°</b> ({tilt.map((t) => num(t, 2, true)).join(" to ")}; positive is in): {num(found.vertical_mm!, 1, true)} mm from 12 to 6 at the rim.
          {width !== null && ` The window is ${width === 0 ? "as wide as it was" : `${amount(Math.abs(width), 1, "step")} ${width > 0 ? "wider" : "narrower"}, ±${num(Z * found.u_width_change_steps!, 1)}`}.`}</p>
      )}
      <p class="note mt">{step === null && then.length ? "Give the size of a step, and the tilt since the handover can be told." : found.advice}</p>
      {then.length > 0 && <p class="s mt">Handed over: cogs {list(then.map((w) => String(w.cog)))}.</p>}
    </>
  );
}
