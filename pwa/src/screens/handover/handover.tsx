import { useEffect, useState } from "preact/hooks";
import { v7 } from "uuid";
import { api, Problem, ride, sendNow, signal as reach, unsentOf } from "../../book";
import { count, time } from "../../look/number";
import { PickOne } from "../../look/touch";
import type { Bike, Job } from "../../nouns";
import { CautionsAt } from "../bench/cautions";
import { BenchLine } from "../bench/line";
import { JobHead, JobIndex } from "../job/head";
import { Waiting } from "../missing";
import { Page } from "../page";
import { fetchPeople, people, whoLogs } from "../people";
import { go, jobLink } from "../route";
import { useWork, type Work } from "../work";
import { openPoints, readValues, type OpenPoint } from "./open_points";
import { useRecord, type FoundRecord } from "./record";
import { RecordLink, type RecordHead } from "./record_link";
import { useOnce } from "../once";
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
  const [accepted, setAccepted] = useState<string[]>([]);
  const [by, setBy] = useState<string | null>(whoLogs());
  const [id] = useState(() => v7());
  const [problem, setProblem] = useState<string | null>(null);
  const [busy, setBusy] = useState(false);
  useEffect(() => void fetchPeople(), []);
  const points = openPoints(work);
  const failed = work.failedStops;
  const left = points.filter((p) => !accepted.includes(p.key));
  const waiting = unsentOf(work.job.id);
  const values = readValues(work);
  // How the bike came in is not what goes out.
  const shifts = triedWords(work.cat, tried(work.standing, ["bench", "road"]));

  const once = useOnce();
  const hand = () => once(async () => {
    const stop = hindrance(work, left, waiting);
    if (stop) {
      setProblem(stop);
      if (waiting) void sendNow();
      return;
    }
    setBusy(true);
    try {
      const seen = Math.max(0, ...work.entries.map((e) => e.seq ?? 0));
      onDone(await api.post<RecordHead>(`/jobs/${work.job.id}/handover`, { id, seen_seq: seen, by: by ?? whoLogs(), accepted: accepted.filter((key) => points.some((p) => p.key === key)) }));
      void sendNow();
    } catch (error) {
      setProblem(explain(error));
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
          <small>{left.length ? `${left.length} still to accept` : waiting ? `${waiting} not yet confirmed` : `${values.length} values, frozen and signed`}</small>
        </button>
        <JobIndex work={work} at="handover" />
      </>
    }>
      <p class="h1 step" aria-hidden="true">Handover</p>
      {failed.length > 0 && <p class="note stop"><b>The bike stays here.</b> Failed: {failed.map((c) => c.label.toLowerCase()).join(", ")}. <a href={jobLink(work.job.id, "bench", "stop_ride")}>Put it right and pass it</a></p>}
      {ride.value?.jobId === work.job.id && <p class="note"><b>The test ride is still open.</b> <a href={jobLink(work.job.id, "road")}>End it first</a></p>}
      <h2>{points.length ? `To accept: ${points.length - left.length} of ${points.length}` : "Nothing to accept"}</h2>
      {points.length > 0 ? <p class="s">Tap the name to put it right, or accept that the bike goes out so: the record says it.</p> : <p class="s">All that was asked is written down and holds.</p>}
      <ul>{points.map((p) => <Point key={p.key} work={work} point={p} on={accepted.includes(p.key)} flip={() => setAccepted(accepted.includes(p.key) ? accepted.filter((k) => k !== p.key) : [...accepted, p.key])} />)}</ul>
      {left.length >= MANY && <button type="button" class="full mt" onClick={() => setAccepted(points.map((p) => p.key))}>Accept all {left.length} listed above</button>}
      <h2>Handed over by</h2>
      {people.value.length
        ? <PickOne label="Handed over by" value={by} onPick={(id) => id && setBy(id)} choices={people.value.map((p) => ({ id: p.id, label: p.name }))} />
        : <p class="s">The person this phone is paired for.</p>}
      <h2>Values as they go out</h2>
      {values.length
        ? <ul class="qs">{values.map((q) => <BenchLine key={q.quantity.id + (q.gear?.cog ?? "")} work={work} state={q} onTake={() => go(jobLink(work.job.id, "bench", ...stepFor(work, q.quantity.id)))} />)}</ul>
        : <p class="s">Nothing is read yet.</p>}
      {shifts && <><h2>Shifts tried</h2><p>{shifts}</p></>}
      <CautionsAt work={work} place="handover" />
    </Page>
  );
}

function stepFor(work: Work, quantity: string): string[] {
  const step = work.steps.find((s) => [...s.quantities, ...s.also].some((q) => q.quantity.id === quantity));
  return step ? [step.step.id, quantity] : [];
}

function Point({ work, point, on, flip }: { work: Work; point: OpenPoint; on: boolean; flip: () => void }) {
  return (
    <li class="li row sp">
      <a class="w bare" href={jobLink(work.job.id, "bench", ...point.link)}><b>{point.what}</b> <span class="s">{point.why}</span></a>
      <button type="button" class="lf" aria-pressed={on} aria-label={`accept: ${point.what}, ${point.why}`} onClick={flip}>{on ? "accepted" : "accept"}</button>
    </li>
  );
}

/** What keeps the bike here; null: nothing. */
function hindrance(work: Work, left: OpenPoint[], waiting: number): string | null {
  if (work.failedStops.length) return "A stop-ride check has failed. Put it right and pass it first.";
  if (ride.value?.jobId === work.job.id) return "The test ride is still open. End it on Road first.";
  if (left.length) return `${count(left.length, "point")} still to accept or to measure, above.`;
  if (reach.value === "no_signal") return "A handover needs a signal: the service freezes and signs the record. Everything is kept here until then.";
  if (waiting) return `${count(waiting, "entry", "entries")} not yet confirmed. They are being sent; hand over again in a moment.`;
  return null;
}

function explain(error: unknown): string {
  if (!(error instanceof Problem) || error.status === 0) return "The service did not answer. Nothing was handed over; try again with a signal.";
  if (error.status === 409) return `${error.message} Look through what is new, then hand over again.`;
  return error.message;
}

function Done({ work, found, onAmend }: { work: Work; found: FoundRecord; onAmend: () => void }) {
  const { record } = found;
  const values = readValues(work).filter((q) => q.value !== null);
  const late = record ? record.late_entries : 0;
  return (
    <Page title="Handed over" head={<JobHead work={work} plan={false} />} foot={<JobIndex work={work} at="handover" />}>
      <p class="h1 step" aria-hidden="true">Handed over</p>
      {found.problem && <p class="note dashed">{found.problem}</p>}
      {found.asking && <p class="s" role="status">Asking for the record…</p>}
      {record && (
        <>
          <p>Record <b>{record.number}</b>, {time(record.handed_over_at)}{record.genuine ? ", signed and genuine" : ""}.</p>
          <p class="s">{count(values.length, "value")}: {work.tally.inside} inside, {work.tally.borderline} borderline, {work.tally.outside} outside.</p>
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
