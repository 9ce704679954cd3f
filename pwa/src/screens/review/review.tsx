import { useState } from "preact/hooks";
import type { Bike, Entry, Job } from "../../nouns";
import { labelOf, entryWords } from "../entry_words";
import { JobHead, JobIndex } from "../job/head";
import { NotHere, Waiting } from "../missing";
import { Page } from "../page";
import { Pictures } from "../photos";
import { jobLink } from "../route";
import { tried, triedWords } from "../shifts/tried";
import { useWork, type Work } from "../work";
import { useReview, type ReviewAnswer } from "./answer";
import { Causes } from "./causes";
import { Closed, Closing } from "./closing";
import { ComparedLines } from "./compared";
import { FirstGuess } from "./first_guess";
import { OtherPhotos } from "./photos";

/** A comeback beside its last handover: what moved, which cause fits, what to measure next. */
export function Review({ bike, job }: { bike: Bike; job: Job }) {
  const work = useWork(bike, job);
  if (job.kind !== "comeback") return <NotHere what="page" />;
  return work ? <Reviewed work={work} /> : <Waiting />;
}

function Reviewed({ work }: { work: Work }) {
  const { job } = work;
  const { review, problem, again } = useReview(job.id, work.entries.filter((e) => e.state === "confirmed").length);
  const [skipped, setSkipped] = useState(false);
  const guessing = review && !review.first_guess && !review.closing && !skipped;
  const next = review?.next[0];
  return (
    <Page title="Review" head={<JobHead work={work} plan={false} />} foot={
      <>
        {review && !guessing && next && !review.closing && (
          <a class="b big go col full" href={nextLink(work, next.of)}>Next: {next.label}<small>tells most between the causes left</small></a>
        )}
        <JobIndex work={work} at="review" />
      </>
    }>
      <p class="h1 step" aria-hidden="true">Review</p>
      {problem && <p class="note dashed">{problem}</p>}
      <Complaint work={work} />
      {review?.closing && <Closed review={review} />}
      {!review && !problem && <p class="s" role="status">Asking the service…</p>}
      {review && <Answer work={work} review={review} guessing={!!guessing} onGuess={() => void again()} onSkip={() => setSkipped(true)} />}
      {review && !review.closing && !guessing && <Closing jobId={job.id} review={review} onDone={() => void again()} />}
    </Page>
  );
}

function Answer({ work, review, guessing, onGuess, onSkip }: { work: Work; review: ReviewAnswer; guessing: boolean; onGuess: () => void; onSkip: () => void }) {
  const shifts = triedWords(work.cat, tried(work.standing, ["found"]));
  const read = review.compared.some((row) => row.now);
  const guess = review.first_guess && (review.causes.find((c) => c.id === review.first_guess!.cause)?.label ?? "none of these");
  return (
    <>
      <h2>As found against handed over</h2>
      {review.why_not["baseline"] && <p class="s">{review.why_not["baseline"]}</p>}
      {read ? <ComparedLines work={work} rows={review.compared} base={review.baseline?.job_id ?? null} />
        : !review.baseline ? null
        : review.closing ? <p class="s">Nothing was read as found.</p>
        : <p class="note">Nothing is read as found yet. Read it before anything is touched: <a href={jobLink(work.job.id, "bench", "arrival")}>Arrival</a></p>}
      {shifts && <p class="mt">As found: {shifts}</p>}
      <OtherPhotos work={work} review={review} />
      {guessing
        ? <FirstGuess jobId={work.job.id} review={review} onKept={onGuess} onSkip={onSkip} />
        : (
          <>
            <h2>What fits</h2>
            {guess && <p class="s">First guess: <b>{guess}</b>.</p>}
            <Causes review={review} />
          </>
        )}
      <RoadLog work={work} entries={(review.road_log as unknown as Logged[]).filter((e) => e.kind !== "void" && !e.replaced_by)} />
    </>
  );
}

/** The rider's words, what happened since, and when the bike left. */
function Complaint({ work }: { work: Work }) {
  const { complaint, since_last } = work.job;
  const since = (since_last ?? []).map((id) => labelOf(work.cat.events, id));
  const symptoms = (complaint?.symptoms ?? []).map((id) => labelOf(work.cat.symptoms, id));
  if (!complaint && !since.length) return <p class="s">No complaint is written down for this comeback.</p>;
  return (
    <p class="note">
      {complaint?.words && <>“{complaint.words}” </>}
      {symptoms.length > 0 && <>It {symptoms.join(", ")}. </>}
      {since.length > 0 && <>Since the last visit: {since.join(", ")}.</>}
    </p>
  );
}

/** An entry, and what corrects it or takes it back. */
type Logged = Entry & { replaced_by?: string[] };

/** What was logged on the road of the job it comes back from, and stands. */
function RoadLog({ work, entries }: { work: Work; entries: Entry[] }) {
  if (!entries.length) return null;
  return (
    <details class="mt">
      <summary>The road log of that job, {entries.length} {entries.length === 1 ? "entry" : "entries"}</summary>
      <ul>{entries.map((entry) => {
        const { what, said } = entryWords(work.cat, entry);
        return <li class="li" key={entry.id}><b>{what}</b> {said}<Pictures of={entry.photos} words={`${what} ${said}`} /></li>;
      })}</ul>
    </details>
  );
}

/** Where the next measurement is taken: the step that asks for it. */
function nextLink(work: Work, of: string): string {
  const id = of.replace(/^(fastener|check|needed):/, "").replace(/^hanger_(vertical|residual)$/, "hanger_deviation");
  const asks = (s: Work["steps"][number]) => [...s.quantities, ...s.also].some((q) => q.quantity.id === id)
    || [...s.fasteners, ...s.alsoFasteners, ...s.checks].some((x) => x.id === id);
  const step = work.steps.find(asks)?.step.id;
  return step ? jobLink(work.job.id, "bench", step) : jobLink(work.job.id, "plan");
}
