import { useEffect, useState } from "preact/hooks";
import { v7 } from "uuid";
import { api, log, Problem, ride, sendNow, signal as reach, unsentOf } from "../../book";
import { count, time } from "../../look/number";
import { PickOne } from "../../look/touch";
import type { Bike, Job } from "../../nouns";
import { CautionsAt } from "../bench/cautions";
import { BenchLine } from "../bench/line";
import { PairLines } from "../bench/pairs";
import { TorqueLine } from "../bench/torque";
import { JobHead, JobIndex } from "../job/head";
import { goingOut, type Counts } from "../going_out";
import { Waiting } from "../missing";
import { Page } from "../page";
import { fetchPeople, people, whoLogs } from "../people";
import { go, jobLink } from "../route";
import { useWork, type Work } from "../work";
import { fetchWrenches } from "../wrenches";
import { lineLink, openPoints, type OpenPoint } from "./open_points";
import { useRecord, type FoundRecord } from "./record";
import { RecordLink, type RecordHead } from "./record_link";
import { useOnce } from "../once";
import { remember, remembered } from "../remembered";
import { tried, triedWords } from "../shifts/tried";

/** From so many points on, one control accepts all that stand above it. */
const MANY = 3;

/** The bike goes out: what is missing is accepted by a person, then the record is frozen and signed. */
export function Handover({ bike, job }: { bike: Bike; job: Job }) {
  const work = useWork(bike, job);
  const found = useRecord(job);
  const [amending, setAmending] = useState(false);
  if (!work) return <Waiting />;
  if (job.state === "open" && !found.record || amending) return <Before work={work} onDone={(record) => { found.set(record); setAmending(false); }} />;
  return <Done work={work} found={found} onAmend={() => setAmending(true)} />;
}

function Before({ work, onDone }: { work: Work; onDone: (r: RecordHead) => void }) {
  const [accepted, keepAccepted] = useState(() => remembered<string[]>(`accepted.${work.job.id}`) ?? []);
  const [by, setBy] = useState<string | null>(whoLogs());
  const [id] = useState(() => v7());
  const [tapped, setTapped] = useState(false);
  const [refusal, setRefusal] = useState<Refusal | null>(null);
  const [busy, setBusy] = useState(false);
  useEffect(() => {
    void fetchPeople();
    void fetchWrenches(work.cat, true);
  }, []);
  const out = goingOut(work);
  const own = openPoints(work, out);
  // What the service has said holds until something is written down or accepted.
  const said = refusal?.entries === work.entries.length ? refusal : null;
  const points = [...(said?.missing ?? []).filter((m) => !own.some((p) => p.key === m.key)), ...own];
  const failed = work.failedStops;
  const left = points.filter((p) => !accepted.includes(nameOf(p)));
  const waiting = unsentOf(work.job.id);
  const stop = hindrance(work, left, waiting);
  const problem = said?.words ?? (tapped ? stop : null);
  // How the bike came in is not what goes out.
  const shifts = triedWords(work.cat, tried(work.standing, ["bench", "road"]));
  const accept = (names: string[]) => {
    keepAccepted(names);
    remember(`accepted.${work.job.id}`, names);
    if (refusal) setRefusal({ ...refusal, words: null });
  };
  const flip = (p: OpenPoint) => accept(left.includes(p) ? [...accepted, nameOf(p)] : accepted.filter((name) => name !== nameOf(p)));

  const once = useOnce();
  const hand = () => once(async () => {
    setTapped(true);
    if (stop) {
      if (waiting) void sendNow();
      return;
    }
    setBusy(true);
    try {
      const seen = Math.max(0, ...work.entries.map((e) => e.seq ?? 0));
      onDone(await api.post<RecordHead>(`/jobs/${work.job.id}/handover`, { id, seen_seq: seen, by: by ?? whoLogs(), accepted: [...new Set(points.map((p) => p.key))] }));
      void sendNow();
    } catch (error) {
      setRefusal(refused(work, error));
      if (error instanceof Problem && error.status === 409) void sendNow();
    }
    setBusy(false);
  });

  return (
    <Page title="Handover" head={<JobHead work={work} />} foot={
      <>
        {problem && <p class="note stop" role="alert">{problem}</p>}
        <button type="button" class="big go col full" onClick={hand} aria-disabled={busy || !!failed.length}>
          {busy ? "Handing over…" : "Hand over"}
          <small>{left.length ? `${left.length} still to accept` : waiting ? `${waiting} not yet confirmed` : `${count(out.counts.values, "value")}, frozen and signed`}</small>
        </button>
        <JobIndex work={work} at="handover" />
      </>
    }>
      <p class="h1 step" aria-hidden="true">Handover</p>
      {failed.length > 0 && <p class="note stop"><b>The bike stays here.</b> Failed: {failed.map((c) => c.label.toLowerCase()).join(", ")}. <a href={jobLink(work.job.id, "bench", "stop_ride")}>Put it right and pass it</a></p>}
      {ride.value?.jobId === work.job.id && <p class="note"><b>The test ride is still open.</b> <a href={jobLink(work.job.id, "road")}>End it first</a></p>}
      <h2>{points.length ? `To accept: ${points.length - left.length} of ${points.length}` : "Nothing to accept"}</h2>
      {points.length > 0 ? <p class="s">Tap the name to put it right, or accept that the bike goes out so: the record says it.</p> : <p class="s">All that was asked is written down and holds.</p>}
      <ul>{points.map((p) => <Point key={nameOf(p)} jobId={work.job.id} point={p} on={!left.includes(p)} flip={() => flip(p)} />)}</ul>
      {left.length >= MANY && <button type="button" class="full mt" onClick={() => accept(points.map(nameOf))}>Accept all {left.length} listed above</button>}
      <h2>Handed over by</h2>
      {people.value.length
        ? <PickOne label="Handed over by" value={by} onPick={(id) => id && setBy(id)} choices={people.value.map((p) => ({ id: p.id, label: p.name }))} />
        : <p class="s">The person this phone is paired for.</p>}
      <h2>Values as they go out</h2>
      <p class="s">{countWords(out.counts)}.</p>
      <ul class="qs">
        {out.torques.map(({ fastener }) => <TorqueLine key={fastener.id} work={work} fastener={fastener} onTake={() => go(lineLink(work, fastener.id))} />)}
        {out.values.map((q) => <BenchLine key={q.quantity.id + (q.gear?.cog ?? "")} work={work} state={q} onTake={() => go(lineLink(work, q.quantity.id))} />)}
        <PairLines work={work} of={out.values} />
      </ul>
      {shifts && <><h2>Shifts tried</h2><p>{shifts}</p></>}
      <CautionsAt work={work} place="handover" />
    </Page>
  );
}

/** A point that was accepted and has changed since is to be accepted anew. */
const nameOf = (p: OpenPoint): string => `${p.key} ${p.what} ${p.why}`;

function Point({ jobId, point: { what, why, href, settle }, on, flip }: { jobId: string; point: OpenPoint; on: boolean; flip: () => void }) {
  const once = useOnce();
  return (
    <li class="li row sp">
      <a class="w bare" href={href}><b>{what}</b> <span class="s">{why}</span></a>
      {settle && <button type="button" class="flat" aria-label={`${settle.word}: ${what}`} onClick={() => once(async () => void (await log(jobId, settle.draft)))}>{settle.word}</button>}
      <button type="button" class="lf" aria-pressed={on} aria-label={`accept: ${what}, ${why}`} onClick={flip}>{on ? "accepted" : "accept"}</button>
    </li>
  );
}

/** What keeps the bike here; null: nothing. */
function hindrance(work: Work, left: OpenPoint[], waiting: number): string | null {
  if (work.failedStops.length) return "A stop-ride check has failed. Put it right and pass it first.";
  if (ride.value?.jobId === work.job.id) return "The test ride is still open. End it on Road first.";
  if (left.length) return `${count(left.length, "point")} still to accept or to put right, above.`;
  if (reach.value === "no_signal") return "A handover needs a signal: the service freezes and signs the record. Everything is kept here until then.";
  if (waiting) return `${count(waiting, "entry", "entries")} not yet confirmed. They are being sent; hand over again in a moment.`;
  return null;
}

interface Refusal {
  words: string | null;
  /** What the service asks for and this phone did not know of. */
  missing: OpenPoint[];
  /** How many entries the job had then. */
  entries: number;
}

function refused(work: Work, error: unknown): Refusal {
  const named = error instanceof Problem && (error.body.missing as { what: string; label: string; why: string }[] | undefined);
  const missing = (named || []).map((m) => ({ key: m.what, what: m.label, why: m.why, href: lineLink(work, m.what) }));
  return { words: explain(error), missing, entries: work.entries.length };
}

function explain(error: unknown): string {
  if (!(error instanceof Problem) || error.status === 0) return "The service did not answer. Nothing was handed over; try again with a signal.";
  if (error.status === 409) return `${error.message} Look through what is new, then hand over again.`;
  return error.message;
}

function Done({ work, found, onAmend }: { work: Work; found: FoundRecord; onAmend: () => void }) {
  const { record } = found;
  const late = record ? record.late_entries : 0;
  return (
    <Page title="Handed over" head={<JobHead work={work} plan={false} />} foot={<JobIndex work={work} at="handover" />}>
      <p class="h1 step" aria-hidden="true">Handed over</p>
      {found.problem && <p class="note dashed">{found.problem}</p>}
      {found.asking && <p class="s" role="status">Asking for the record…</p>}
      {record && (
        <>
          <p>Record <b>{record.number}</b>, {time(record.handed_over_at)}{record.genuine ? ", signed and genuine" : ""}.</p>
          <p class="s">{countWords(record.counts)}.</p>
          {late > 0 && (
            <>
              <p class="note mt"><b>{count(late, "entry", "entries")} came after the handover.</b> The record stands as it was; an amendment takes them in.</p>
              {record.amendment_offered && <button type="button" class="big full mt" onClick={onAmend}>Amend the record</button>}
            </>
          )}
          <RecordLink id={record.id} customer={work.bike.customer_id} />
        </>
      )}
      {!record && !found.asking && !found.problem && <p class="note mt">This job was closed without a record.</p>}
    </Page>
  );
}

/** "14 values: 11 inside, 1 borderline, 2 not judged". */
export function countWords(counts: Counts): string {
  const told = (["inside", "borderline", "outside", "none"] as const).filter((word) => counts[word]);
  return `${count(counts.values, "value")}: ${told.map((word) => `${counts[word]} ${word === "none" ? "not judged" : word}`).join(", ") || "none read"}`;
}
