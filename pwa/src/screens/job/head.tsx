import { PlanRule } from "../../look/plan_rule";
import { Pencilled } from "../notices";
import { jobLink, type JobPage } from "../route";
import type { Work } from "../work";
import { WhoLogs } from "./who_logs";

/** Which bike, what is not yet confirmed, and the plan as a rule that opens the plan. */
export function JobHead({ work, plan = true }: { work: Work; plan?: boolean }) {
  return (
    <>
      <header class="top"><a class="quiet" href={`#/bikes/${work.bike.id}`}>{work.bike.label}</a><Pencilled jobId={work.job.id} /></header>
      {plan && <a class="planlink" href={jobLink(work.job.id, "plan")} aria-label={`Plan: ${work.words}. Open the plan`}><PlanRule steps={work.marks} /></a>}
    </>
  );
}

/** On pages that write: what is written down after a handover is not in its record. */
export function AfterHandover({ work: { job } }: { work: Pick<Work, "job"> }) {
  if (job.state === "open") return null;
  return (
    <p class="note">
      <b>This job is {job.state === "closed" ? "closed" : "handed over"}.</b> {job.state === "handed_over" && "What you write down now comes after its record: only an amendment, on Handover, takes it in. "}
      Another visit, a comeback too, is a new job. <a href={`#/bikes/${job.bike_id}/job`}>Begin a new job</a>
    </p>
  );
}

/** The index of a job. Bench is where its next step is. */
export function JobIndex({ work, at, who = true }: { work: Work; at: JobPage; who?: boolean }) {
  // Only a comeback has a review; six words do not fit a phone, and its bike stands above.
  const review: [JobPage, string][] = work.job.kind === "comeback" ? [["review", "Review"]] : [];
  const pages: [JobPage, string][] = [["bench", "Bench"], ["road", "Road"], ["trend", "Trend"], ...review, ["handover", "Handover"]];
  const current = at === "plan" ? "bench" : at;
  return (
    <>
      {who && <WhoLogs />}
      <nav class="idx" aria-label="This job">
        {!review.length && <a href="#/">Bikes</a>}
        {pages.map(([page, word]) => <a href={jobLink(work.job.id, page)} aria-current={current === page ? "page" : undefined}>{word}</a>)}
      </nav>
    </>
  );
}
