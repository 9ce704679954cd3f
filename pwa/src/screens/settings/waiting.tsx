import { useEffect, useState } from "preact/hooks";
import { bikeById, catalogue, entriesOf, held, jobById, jobsUnsent, jobsWaiting, lastProblem, pending, putBike, putJob, withdrawEdit, type HeldEdit } from "../../book";
import { count } from "../../look/number";
import { labelOfField, refusedFacts } from "../bike/typed_facts";
import { EntryRow } from "../job/written";
import { PhotosWaiting } from "../photos";
import { jobLink } from "../route";

const MOST = 30;

/** Entries on this phone that the service has not confirmed, by job. */
export function NotConfirmed() {
  const [jobs, setJobs] = useState<string[]>([]);
  useEffect(() => void jobsWaiting().then(setJobs), [pending.value]);
  if (!pending.value.count) return <><p class="s">No entry waits: all are confirmed by the service.</p><PhotosWaiting /></>;
  const bikes = pending.value.edits - jobsUnsent.value.size;
  return (
    <>
      {lastProblem.value && <p class="note">{lastProblem.value}</p>}
      {jobs.slice(0, MOST).map((id) => <JobWaiting key={id} id={id} />)}
      {jobs.length > MOST && <p class="mt">And of {count(jobs.length - MOST, "more job")}.</p>}
      <PhotosWaiting />
      {bikes > 0 && <p class="mt">{count(bikes, "bike")}, new or changed</p>}
    </>
  );
}

function JobWaiting({ id }: { id: string }) {
  const job = jobById(id);
  const bike = job && bikeById(job.bike_id);
  const cat = catalogue.value;
  const rows = entriesOf(id).value.filter((e) => e.state === "queued" || e.state === "sending");
  if (!cat) return null;
  return (
    <>
      <p class="mt"><a href={jobLink(id, "plan")}><b>{bike?.label ?? "A bike"}</b>, {job?.kind}</a></p>
      <ul>{rows.slice(0, MOST).map((e) => <EntryRow key={e.entry.id} work={{ cat }} logged={e} quiet />)}</ul>
      {rows.length > MOST && <p class="s">and {rows.length - MOST} more</p>}
    </>
  );
}

/** Bikes and jobs changed on two phones at once, or refused: a person decides. */
export function HeldEdits() {
  if (!held.value.length) return null;
  return (
    <>
      <h2>Held back</h2>
      <ul>{held.value.map((edit) => <Edit key={edit.id} edit={edit} />)}</ul>
    </>
  );
}

function Edit({ edit }: { edit: HeldEdit }) {
  const job = jobById(edit.id);
  const bike = bikeById(edit.noun === "bike" ? edit.id : job?.bike_id ?? "");
  // What the shop's book has never had cannot be taken back to what it has.
  const known = (edit.noun === "bike" ? bike : job)?.seq != null;
  const keepMine = async () => {
    const [mineBike, mineJob] = [bikeById(edit.id), jobById(edit.id)];
    if (edit.noun === "bike" && mineBike) await putBike(mineBike);
    if (edit.noun === "job" && mineJob) await putJob(mineJob);
  };
  return (
    <li class="li">
      <b>{bike?.label ?? "A bike"}, {edit.noun === "bike" ? "its facts" : "its job"}</b>
      {edit.state === "refused" && <p class="note stop">{Object.values(refusedFacts(edit.problem)).join(" ") || (edit.problem?.detail ?? edit.problem?.title)}</p>}
      {edit.clashes.map((c) => (
        <dl class="facts" key={c.field}>
          <dt>{labelOfField(c.field.split(".").at(-1)!)}</dt><dd>here {show(c.mine)}, elsewhere {show(c.theirs)}</dd>
        </dl>
      ))}
      <div class="row mt">
        {edit.state === "clash" && <button type="button" class="w" onClick={() => void keepMine()}>Keep what is here</button>}
        {edit.state === "refused" && edit.noun === "bike" && <a class="b w" href={`#/bikes/${edit.id}/edit`}>Put it right</a>}
        {known && <button type="button" class="w" onClick={() => void withdrawEdit(edit.noun, edit.id)}>{edit.state === "clash" ? "Take the other" : "Take it back"}</button>}
      </div>
    </li>
  );
}

const show = (value: unknown): string => (value === undefined || value === null ? "nothing" : Array.isArray(value) ? value.join(", ") : typeof value === "object" ? JSON.stringify(value) : String(value));
