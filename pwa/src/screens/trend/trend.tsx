import { useEffect, useState } from "preact/hooks";
import { entriesOfBike, Problem } from "../../book";
import { QuantityLine } from "../../look/quantity_line";
import { StageGlyph, WitnessGlyph, type StageWord } from "../../look/stage";
import { PickOne } from "../../look/touch";
import type { Bike, Gear, Job } from "../../nouns";
import { scaleFor, shownValue } from "../bench/line";
import { gearWords, unitLabel } from "../entry_words";
import { JobIndex } from "../job/head";
import { Waiting } from "../missing";
import { Page } from "../page";
import { jobLink, swap } from "../route";
import { quantityState, useWork, whiskerOf, type QuantityState, type Work } from "../work";
import { Chart } from "./chart";
import { SeriesWords } from "./series_words";
import { baselineValue, fetchSeries, localSeries, type Series } from "./series";

/** One quantity of the bike against its band, over all visits. */
export function Trend({ bike, job, rest }: { bike: Bike; job: Job; rest: string[] }) {
  const work = useWork(bike, job);
  if (!work) return <Waiting />;
  const choices = readQuantities(work);
  const [id, gear] = (rest[0] ?? "").split("@");
  const wanted = gear ? ({ ring: Number(gear.split("x")[0]), cog: Number(gear.split("x")[1]) } as Gear) : null;
  const q = choices.find((c) => c.quantity.id === id && sameGear(c.gear, wanted)) ?? choices[0];
  const goTo = (key: string) => swap(jobLink(job.id, "trend", key));
  if (!q) {
    return (
      <Page title="Trend" aside={bike.label} foot={<JobIndex work={work} at="trend" />}>
        <p class="note mt">Nothing is read on this bike yet. A quantity's trend begins with its first reading on <a href={jobLink(job.id, "bench")}>Bench</a>.</p>
      </Page>
    );
  }
  return <Shown key={keyOf(q)} work={work} q={q} choices={choices} goTo={goTo} />;
}

const keyOf = (q: QuantityState) => `${q.quantity.id}${q.gear ? `@${q.gear.ring}x${q.gear.cog}` : ""}`;
const sameGear = (a: Gear | null, b: Gear | null) => a?.ring === b?.ring && a?.cog === b?.cog;
const STAGES: StageWord[] = ["found", "bench", "road"];

/** Quantities read on this bike at any visit, in the catalogue's order; each gear by itself. */
function readQuantities(work: Work): QuantityState[] {
  const seen = new Map<string, QuantityState>();
  for (const { entry } of entriesOfBike(work.bike.id).value) {
    if (entry.kind !== "reading") continue;
    const quantity = work.cat.quantities.find((x) => x.id === entry.data.quantity);
    if (!quantity) continue;
    const q = quantityState(work, quantity, entry.gear ?? null);
    seen.set(keyOf(q), q);
  }
  const order = new Map(work.cat.quantities.map((x, i) => [x.id, i]));
  return [...seen.values()].sort((a, b) => order.get(a.quantity.id)! - order.get(b.quantity.id)!);
}

function Shown({ work, q, choices, goTo }: { work: Work; q: QuantityState; choices: QuantityState[]; goTo: (key: string) => void }) {
  const [answer, setAnswer] = useState<{ series: Series[] } | { problem: string } | null>(null);
  const entries = entriesOfBike(work.bike.id).value.length;
  useEffect(() => {
    let over = false;
    fetchSeries(work.bike.id, q.quantity.id, q.gear).then((series) => over || setAnswer({ series }), (error: unknown) => over || setAnswer({ problem: why(error) }));
    return () => {
      over = true;
    };
  }, [entries]);
  const local = localSeries(work, q);
  // What the service does not have yet is still on the phone: the fuller of the two is drawn.
  const served = answer && "series" in answer ? answer.series : [];
  const size = (list: Series[]) => list.reduce((n, s) => n + s.points.length, 0);
  const series = size(served) >= size(local) && size(served) > 0 ? served : local;
  const newest = series.flatMap((s) => s.points).sort((a, b) => a.taken_at.localeCompare(b.taken_at)).at(-1);
  const [stage, setStage] = useState<StageWord | null>(null);
  const chosen = stage ?? newest?.stage ?? "bench";
  const of = served.find((s) => s.stage === chosen) ?? series.find((s) => s.stage === chosen);
  const was = baselineValue(of) ?? q.baseline;
  const unit = unitLabel(work.cat, q.quantity.unit);
  const n = (v: number) => shownValue(q, v);
  const scale = scaleFor({ ...q, baseline: was });
  const gear = q.gear ? `, ${gearWords(q.gear)}` : "";

  return (
    <Page title="Trend" aside={`${work.bike.label}${gear}`} foot={
      <>
        <label class="sr" for="quantity">Quantity</label>
        <select id="quantity" class="fld" value={keyOf(q)} onChange={(e) => goTo(e.currentTarget.value)}>
          {choices.map((c) => <option key={keyOf(c)} value={keyOf(c)}>{c.quantity.label}{c.gear ? `, ${gearWords(c.gear)}` : ""}</option>)}
        </select>
        <PickOne label="Stage with whiskers" value={chosen} onPick={(id) => setStage(id as StageWord)} choices={STAGES.filter((s) => series.some((x) => x.stage === s)).map((s) => ({ id: s, label: s }))} />
        <JobIndex work={work} at="trend" />
      </>
    }>
      {answer && "problem" in answer && <p class="note dashed">{answer.problem}</p>}
      {newest && (
        <ul class="qs">
          <QuantityLine name={q.quantity.label} unit={unit} shown={n(newest.value)} verdict={newest.verdict} caption={was === null ? "not yet handed over" : `handed over ${n(was)}`} scale={scale}
            value={newest.value} whisker={whiskerOf(newest)} was={was} moved={was === null || !of?.change ? null : of.change.real ? "yes" : "no"} />
        </ul>
      )}
      <Chart series={series} scale={scale} was={was} unit={unit} label={q.quantity.label} of={of} />
      <p class="lg">
        {STAGES.filter((s) => series.some((x) => x.stage === s)).map((s) => <span key={s}><StageGlyph stage={s} />{s}</span>)}
        {was !== null && <span><WitnessGlyph />handed over</span>}
      </p>
      {of && answer && "series" in answer && <SeriesWords series={of} unit={unit} n={n} />}
      {!answer && <p class="s" role="status">Asking the service for slope and forecast…</p>}
    </Page>
  );
}

function why(error: unknown): string {
  if (error instanceof Problem && error.status && error.status !== 503) return `${error.message} The readings on this phone are shown.`;
  return "No signal: these are the readings on this phone. Slope and forecast come with the next signal; open Trend again then.";
}
