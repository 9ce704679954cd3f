import { putJob } from "../../book";
import { PickSome } from "../../look/touch";
import type { SinceLast } from "../../nouns";
import { settle } from "../bike/job_form";
import { labelOf } from "../entry_words";
import type { Work } from "../work";
import { Kilometres } from "../kilometres";

/** What happened since the last visit; asked before anything is touched. */
export function Arrived({ work }: { work: Work }) {
  const { seq: _seq, state: _state, ...job } = work.job;
  const events = job.since_last ?? [];
  const complaint = job.complaint;
  return (
    <>
      {complaint && (
        <p class="note mt">{complaint.words ? `“${complaint.words}” ` : ""}It {complaint.symptoms.map((s) => labelOf(work.cat.symptoms, s)).join(", ")}.</p>
      )}
      <h2>Since the last visit</h2>
      <PickSome label="What happened since the last visit" choices={work.cat.events} value={events}
        onPick={(ids) => void putJob({ ...job, since_last: settle(ids, events) as SinceLast[] })} />
      <Kilometres jobId={work.job.id} />
    </>
  );
}
