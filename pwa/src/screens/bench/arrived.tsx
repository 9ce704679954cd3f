import { entriesOf, jobsOf, putJob } from "../../book";
import { date } from "../../look/number";
import { PickSome } from "../../look/touch";
import type { Job, SinceLast } from "../../nouns";
import { labelOf } from "../entry_words";
import { Kilometres } from "../kilometres";
import { settle } from "../since_last";
import type { Work } from "../work";
import { TenMinutes } from "./ten_minutes";

/** What happened since the last visit; asked before anything is touched. */
export function Arrived({ work }: { work: Work }) {
  const { seq: _seq, state: _state, ...job } = work.job;
  const events = job.since_last ?? [];
  const complaint = job.complaint;
  const last = jobsOf(work.bike.id).find((j) => j.id !== job.id && j.state !== "open" && j.opened_at < job.opened_at);
  return (
    <>
      {complaint && (
        <p class="note mt">{complaint.words && <>“{complaint.words}” </>}{complaint.symptoms.length > 0 && <>It {complaint.symptoms.map((s) => labelOf(work.cat.symptoms, s)).join(", ")}.</>}</p>
      )}
      <h2>Since the last visit{last ? <span class="s">: {last.kind}, {date(last.opened_at)}</span> : ""}</h2>
      <PickSome label="What happened since the last visit" choices={work.cat.events} value={events}
        onPick={(ids) => void putJob({ ...job, since_last: settle(ids, events) as SinceLast[] })} />
      <Kilometres jobId={work.job.id} before={last ? kilometresOf(last) : null} />
      <TenMinutes work={work} />
    </>
  );
}

/** What the counter showed last on a visit. */
function kilometresOf(job: Job): number | null {
  const km = entriesOf(job.id).value.map((e) => e.entry.odometer_km).filter((n) => n !== undefined);
  return km.length ? Math.max(...km) : null;
}
