import { useState } from "preact/hooks";
import { v7 } from "uuid";
import { bikeById, catalogue, jobsOf, moment, putJob } from "../../book";
import { facts, onBike } from "../../catalogue";
import { LIMITS } from "../../limits";
import { PickOne, PickSome } from "../../look/touch";
import type { JobDraft, JobKind, SinceLast } from "../../nouns";
import { date } from "../../look/number";
import { NotHere } from "../missing";
import { Page } from "../page";
import { go, jobLink } from "../route";
import { notSaved, useOnce } from "../once";
import { settle } from "../since_last";
import { wrong } from "../typed";

export const KINDS: { id: JobKind; label: string }[] = [{ id: "build", label: "build" }, { id: "service", label: "service" }, { id: "comeback", label: "comeback" }];

/** A new job: a build, a service, or a bike that came back. */
export function JobForm({ bikeId }: { bikeId: string }) {
  const bike = bikeById(bikeId);
  const before = jobsOf(bikeId).filter((job) => job.state !== "open");
  const [kind, setKind] = useState<JobKind>(before.length ? "service" : "build");
  const [parts, setParts] = useState<string[]>([]);
  const [events, setEvents] = useState<string[]>([]);
  const [symptoms, setSymptoms] = useState<string[]>([]);
  const [words, setWords] = useState("");
  const [of, setOf] = useState<string | null>(before[0]?.id ?? null);
  const [problem, setProblem] = useState<string | null>(null);
  const once = useOnce();
  const cat = catalogue.value;
  if (!bike || !cat) return <NotHere what="bike" />;

  const begin = () => once(async () => {
    if (kind === "comeback" && !symptoms.length && !words.trim()) {
      setProblem("Say what the rider complains about: a symptom, or their words.");
      return;
    }
    const long = kind === "comeback" && wrong({ label: "In their own words", limit: LIMITS.Complaint.words }, words);
    if (long) return setProblem(long);
    const body: JobDraft = { id: v7(), bike_id: bikeId, kind, opened_at: moment() };
    if (parts.length) body.missing_parts = parts;
    if (kind !== "build" && events.length) body.since_last = events as SinceLast[];
    if (kind === "comeback") {
      body.complaint = { symptoms, words: words.trim() };
      if (of) body.comeback_of = of;
    }
    try {
      await putJob(body);
      go(jobLink(body.id, "bench"));
    } catch (error) {
      setProblem(notSaved(error));
    }
  });

  return (
    <Page title="New job" aside={bike.label} foot={
      <>
        {problem && <p class="note stop" role="alert">{problem}</p>}
        <div class="row">
          <a class="b big" href={`#/bikes/${bikeId}`}>Not now</a>
          <button type="button" class="big go w" onClick={begin}>Start the {kind}</button>
        </div>
      </>
    }>
      <PickOne label="Kind of job" cls="c3" leaf="big" choices={KINDS} value={kind} onPick={(id) => id && setKind(id as JobKind)} />
      {kind === "comeback" && (
        <>
          {before.length > 1 && (
            <fieldset>
              <legend>It comes back from</legend>
              <PickOne label="Comes back from" value={of} onPick={setOf} loose choices={before.slice(0, 4).map((job) => ({ id: job.id, label: `${job.kind}, ${date(job.opened_at)}` }))} />
            </fieldset>
          )}
          <fieldset>
            <legend>The rider says it</legend>
            <PickSome label="Symptoms" leaf="wrap" choices={onBike(cat.symptoms, facts(bike))} value={symptoms} onPick={setSymptoms} />
          </fieldset>
          <label class="mt3" for="words">In their own words</label>
          <textarea id="words" class="fld" rows={2} value={words} onInput={(e) => setWords(e.currentTarget.value)} />
        </>
      )}
      {kind !== "build" && (
        <fieldset>
          <legend>Since the last visit</legend>
          <PickSome label="What happened since the last visit" choices={cat.events} value={events} onPick={(ids) => setEvents(settle(ids, events))} />
        </fieldset>
      )}
      <fieldset>
        <legend>Parts that are not here yet</legend>
        <p class="s">What can go on without them is worked out. None missing: leave it.</p>
        <PickSome label="Missing parts" cls="mt" choices={onBike(cat.parts, facts(bike))} value={parts} onPick={setParts} />
      </fieldset>
    </Page>
  );
}
