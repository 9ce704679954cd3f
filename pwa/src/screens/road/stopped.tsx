import { useState } from "preact/hooks";
import { closeRide, dropMark, log, markMoment, moment, undo } from "../../book";
import { onBike, type Adjuster } from "../../catalogue";
import { GearStrip } from "../../look/gear_strip";
import { count, num, time } from "../../look/number";
import { RideRule, type Stop } from "../../look/ride_rule";
import { PickOne } from "../../look/touch";
import type { Entry, EntryDraft, EntryOf, Gear } from "../../nouns";
import type { Ride } from "../../ride";
import { headOf } from "../correcting";
import { EFFECT_WORDS, entryWords, turnedWords } from "../entry_words";
import { JobIndex } from "../job/head";
import { notSaved, useOnce } from "../once";
import { logWith, PhotoInHand, photosBegun } from "../photos";
import { Pencilled } from "../notices";
import { Page } from "../page";
import { TurnRow } from "../turn_row";
import type { Work } from "../work";
import { WhoLogs } from "../job/who_logs";
import { useLater } from "../later";
import { RIDE_ENDED, sinceTheStand, turnedInAll } from "./ridden";
import { LastTurned } from "./last_turned";
import { noiseData, noNoise, type Noise } from "./noise";
import { kmFault, parseKm } from "../kilometres";
import { jobLink } from "../route";

interface Draft {
  amounts: Record<string, number>;
  nothing: boolean;
  ring: number | null;
  cog: number | null;
  because: string | null;
  effect: string | null;
  noise: Noise;
  /** A marked moment that is now told; null: now. */
  at: string | null;
  /** What the counter shows here, as typed. */
  km: string;
}

/** What was begun at this stop, while another page of the ride is open. */
const begun = new Map<string, Draft>();
/** The gear it was last judged in, as far as this stop has come. */
export const gearBegun = (ride: Ride): Gear | null => gearOf(begun.get(ride.openedAt) ?? { ring: null, cog: null });

/** Stopped on the road: what the hands have turned since the last stop. Everything here is told in the past tense. */
export function Stopped({ work, ride }: { work: Work; ride: Ride }) {
  const road = work.standing.filter((e) => e.stage === "road" && Date.parse(e.taken_at) >= Date.parse(ride.openedAt));
  const last = road[road.length - 1] ?? null;
  const [draft, show] = useState<Draft>(() => begun.get(ride.openedAt) ?? fresh(work, last));
  const setDraft = (next: Draft) => {
    begun.set(ride.openedAt, next);
    show(next);
  };
  const [said, setSaid] = useState<{ kept: Entry[]; words: string } | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  const set = (change: Partial<Draft>) => {
    setDraft({ ...draft, ...change });
    setProblem(null);
  };
  const adjusters = onBike(work.cat.adjusters, work.facts).filter((a) => a.road && a.id !== "none");
  const turned = adjusters.filter((a) => draft.amounts[a.id]);
  const asked = lastTurning(road);
  const same = lastTurning(work.standing.filter((e) => e.stage === "road"));
  const drafts = entriesOf(work, draft, turned, asked);

  const { rings, cogs } = work.bike.drivetrain;
  const photos = photosBegun(ride.openedAt);
  const later = useLater(() => import("../beside"));
  const once = useOnce();
  const write = () => once(async () => {
    const kmWrong = kmFault(draft.km);
    if (kmWrong) {
      setProblem(`Kilometres: ${kmWrong}`);
      return;
    }
    if (!drafts.length) {
      setProblem("Nothing to write down yet: say what was turned, or that nothing was needed.");
      return;
    }
    setDraft({ ...fresh(work, last), ring: draft.ring, cog: draft.cog });
    setSaid(null);
    const kept: Entry[] = [];
    try {
      for (const d of drafts) kept.push((await logWith(photos, work.job.id, d)).entry);
      if (draft.at) await dropMark(draft.at);
      setSaid({ kept, words: summary(work, draft, turned) });
      scrollTo(0, 0);
    } catch (error) {
      // What was not kept stands on the page again; what was kept before it is written down already.
      setDraft(draft);
      for (const e of kept) await takeBack(e).catch(() => undefined);
      setProblem(notSaved(error));
    }
  });
  const undoAll = () => once(async () => {
    for (const e of said?.kept ?? []) await takeBack(e);
    setSaid(null);
  });

  return (
    <Page title="Stopped" head={<header class="top"><span class="row clip"><b class="h1">Stopped</b><span class="s clip">{work.bike.label}</span></span><Pencilled jobId={work.job.id} /></header>} foot={
      <>
        {problem && <p class="note stop" role="alert">{problem}</p>}
        <WhoLogs />
        <div class="bar">
          <button type="button" class="big flat col" onClick={() => void markMoment()}>Mark this moment{ride.marks.length > 0 && <small>{ride.marks.length} marked</small>}</button>
          <button type="button" class="big go col" onClick={write}>Write down<small>{summary(work, draft, turned)}</small></button>
        </div>
      </>
    }>
      <div class={asked && !asked.data.effect ? "told short" : "told"}>
        <p class="s">Stand clear of the road. This page only writes down; it moves nothing on the bike.</p>
        {said && (
          <p class="row sp kept" role="status"><span>Written down: <b>{said.words}</b></span><button type="button" class="flat" onClick={undoAll}>Undo</button></p>
        )}
        {!said && !road.length && !ride.marks.length && (
          <p class="row sp kept" role="status"><span>Started: <b>{time(ride.openedAt)}</b></span><button type="button" class="flat" onClick={() => once(closeRide)}>Undo</button></p>
        )}
        <OpenChecks work={work} />
        <div class={asked ? "tall" : ""}><RideRule now={minutes(ride, moment())} stops={stops(work, ride, road)} /></div>
        <p class="s tall">{changedWords(work, road)}</p>
        {asked && <LastTurned work={work} entry={asked} />}
      </div>
      {asked && !asked.data.effect && (
        <>
          <h2 class="tight">What did it do?</h2>
          <PickOne label="What the last turning did" cls="c3" leaf="big" loose value={draft.effect} onPick={(effect) => set({ effect })}
            choices={Object.entries(EFFECT_WORDS).map(([id, label]) => ({ id, label }))} />
        </>
      )}
      <div class={same ? "row sp mb" : ""}>
        <h2 class="tight">Since then I turned</h2>
        {same && <button type="button" class="big flat col" onClick={() => set(again(same))}>Same as last<small>{partWords(work, same.data)}</small></button>}
      </div>
      {adjusters.map((a) => <TurnRow key={a.id} cat={work.cat} adjuster={a} amount={draft.amounts[a.id] ?? 0} onAmount={(n) => set({ amounts: { ...draft.amounts, [a.id]: n }, nothing: false })} />)}
      <div class="c3">
        <button type="button" class="big flat" aria-pressed={draft.nothing} onClick={() => set({ nothing: !draft.nothing, amounts: {} })}>Nothing needed</button>
        <a class="b big flat" href={jobLink(work.job.id, "road", "shifts")}>Shift checks</a>
        <a class="b big flat" href={jobLink(work.job.id, "road", "note")}>Remark or check</a>
      </div>

      <h2>Judged in{draft.ring && draft.cog ? ` ${draft.ring} × ${draft.cog}` : ""}</h2>
      <GearStrip each rings={rings} cogs={cogs} ring={draft.ring} cog={draft.cog} onGear={(ring, cog) => set({ ring, cog })} />

      <h2>Because it</h2>
      <PickOne label="Because it" cls="c2" leaf="wrap" loose value={draft.because} onPick={(because) => set({ because })} choices={onBike(work.cat.symptoms, work.facts).filter((s) => s.outcomes?.length)} />

      {later && <later.NoiseNote work={work} noise={draft.noise} gear={gearOf(draft)} onNoise={(noise) => set({ noise })} />}
      {ride.marks.length > 0 && (
        <>
          <h2>When it was</h2>
          <PickOne label="When it was" value={draft.at ?? "now"} onPick={(at) => set({ at: at === "now" ? null : at })}
            choices={[{ id: "now", label: "now" }, ...ride.marks.map((m) => ({ id: m.at, label: `marked ${time(m.at)}` }))]} />
        </>
      )}
      <div class="row wrapping mt3"><PhotoInHand photos={photos} /></div>
      <label class="mt3" for="road-km">Kilometres on the counter here, if it has one</label>
      <input id="road-km" class="fld" inputMode="decimal" autocomplete="off" value={draft.km} onInput={(e) => set({ km: e.currentTarget.value })} />
      <EndRide work={work} road={road} />
      <JobIndex work={work} at="road" who={false} />
    </Page>
  );
}

function fresh(work: Work, last: Entry | null): Draft {
  const { rings } = work.bike.drivetrain;
  return {
    amounts: {}, nothing: false, because: null, effect: null, noise: noNoise(), at: null, km: "",
    ring: last?.gear?.ring ?? (rings.length === 1 ? rings[0]! : null), cog: last?.gear?.cog ?? null,
  };
}

const gearOf = (d: Pick<Draft, "ring" | "cog">): Gear | null => (d.ring && d.cog ? { ring: d.ring, cog: d.cog } : null);

/** The last thing that was turned on this ride; its effect is asked at the next stop. */
function lastTurning(road: Entry[]): EntryOf<"adjustment"> | null {
  for (let i = road.length - 1; i >= 0; i--) {
    const e = road[i]!;
    if (e.kind === "adjustment" && e.data.adjuster !== "none") return e;
  }
  return null;
}

/** What the page would write down, in order: what was turned now, the noise, the effect of the last turning. */
function entriesOf(work: Work, d: Draft, turned: Adjuster[], asked: EntryOf<"adjustment"> | null): EntryDraft[] {
  const gear = gearOf(d);
  const head = { stage: "road" as const, ...(gear ? { gear } : {}), ...(d.at ? { taken_at: d.at } : {}), ...(parseKm(d.km) === null ? {} : { odometer_km: parseKm(d.km)! }) };
  const because = d.because ? { because: d.because } : {};
  const out: EntryDraft[] = [];
  for (const a of turned) out.push({ kind: "adjustment", ...head, data: { adjuster: a.id, amount: d.amounts[a.id]!, unit: a.unit, ...because } });
  if (d.nothing) {
    const none = work.cat.adjusters.find((a) => a.id === "none")!;
    out.push({ kind: "adjustment", ...head, data: { adjuster: none.id, amount: 0, unit: none.unit, ...because } });
  }
  const noise = noiseData(d.noise);
  if (noise) out.push({ kind: "noise", ...head, data: noise });
  // Last, so that a photo taken here goes with what was turned here.
  if (asked && d.effect) out.push(withEffect(asked, d.effect as Effect));
  return out;
}

type Effect = NonNullable<EntryOf<"adjustment">["data"]["effect"]>;
/** The last turning anew, with what it did; undefined: with nothing said of it. */
function withEffect(turned: EntryOf<"adjustment">, effect?: Effect): EntryDraft {
  const { effect: _, ...data } = turned.data;
  return { kind: "adjustment", ...headOf(turned), data: { ...data, ...(effect && { effect }) } } as EntryDraft;
}

/** What only said what a turning did is taken back by saying the turning anew: a void would take that out too. */
const takeBack = (e: Entry) => (e.kind === "adjustment" && e.replaces ? log(e.job_id, withEffect(e)) : undo(e.id));

/** The same amount, the same way, judged in the same gear for the same reason. */
function again({ data, gear }: EntryOf<"adjustment">): Partial<Draft> {
  return { amounts: { [data.adjuster]: data.amount }, nothing: false, because: data.because ?? null, ...gear };
}

function summary(work: Work, d: Draft, turned: Adjuster[]): string {
  const parts = turned.map((a) => partWords(work, { adjuster: a.id, amount: d.amounts[a.id]!, unit: a.unit }));
  if (d.nothing) parts.push("nothing needed");
  if (d.noise.sound) parts.push(work.cat.sounds.find((s) => s.id === d.noise.sound)?.label ?? d.noise.sound);
  if (!parts.length && d.effect) parts.push(`it got ${d.effect === "same" ? "no different" : d.effect}`);
  return parts.join(", ") || "nothing yet";
}

function partWords({ cat }: Work, { adjuster, amount, unit }: EntryOf<"adjustment">["data"]): string {
  const a = cat.adjusters.find((x) => x.id === adjuster);
  return `${a?.short ?? a?.label} ${turnedWords(cat, adjuster, amount, unit)}`;
}

const minutes = (ride: Ride, at: string): number => Math.max(0, (Date.parse(at) - Date.parse(ride.openedAt)) / 60_000);

function stops(work: Work, ride: Ride, road: Entry[]): Stop[] {
  const marks = ride.marks.map((m) => ({ minutes: minutes(ride, m.at), label: "marked" }));
  const written = road.filter((e) => !e.replaces).map((e) => ({ minutes: minutes(ride, e.taken_at), label: short(work, e) }));
  return [...marks, ...written].sort((a, b) => a.minutes - b.minutes);
}

function short(work: Work, e: Entry): string {
  if (e.kind === "noise") return "noise";
  if (e.kind !== "adjustment") return entryWords(work.cat, e).what.toLowerCase();
  if (e.data.adjuster === "none") return "none";
  const a = work.cat.adjusters.find((x) => x.id === e.data.adjuster);
  return `${num(Math.abs(e.data.amount), 2)} ${(e.data.amount > 0 ? a?.positive : a?.negative)?.replace("board", "") ?? ""}`;
}

/** What the rides have changed from the stand so far. */
function changedWords(work: Work, road: Entry[]): string {
  const changed = turnedInAll(work, sinceTheStand(work, road));
  return changed.length ? `Changed from the stand: ${changed.join("; ")}.` : "Nothing changed from the stand.";
}

/** Stop-ride checks that are not passed: a failed one ends the riding, an open one can be done here. */
function OpenChecks({ work }: { work: Work }) {
  const [failed, open] = [work.failedStops, work.openStops];
  if (!failed.length && !open.length) return null;
  const link = (words: string) => <a href={jobLink(work.job.id, "road", "checks")}>{words}</a>;
  return failed.length
    ? <p class="note stop" role="alert"><b>Do not ride on.</b> Failed: {failed.map((c) => c.label.toLowerCase()).join(", ")}. {link("Put it right and pass it")}</p>
    : <p class="note">{count(open.length, "stop-ride check")} not done. {link("Do them now")}</p>;
}

function EndRide({ work, road }: { work: Work; road: Entry[] }) {
  const later = useLater(() => import("../beside"));
  const once = useOnce();
  const end = () => once(async () => {
    await log(work.job.id, { kind: "check", stage: "road", data: { check: RIDE_ENDED, outcome: "passed" } });
    await closeRide();
  });
  return (
    <>
      {later && <later.RideSummary work={work} road={road} title="The ride so far" />}
      <button type="button" class="big full mt mb" onClick={end}>End the ride</button>
    </>
  );
}
