import { entriesOf } from "../../book";
import type { Entry } from "../../nouns";
import { entryWords } from "../entry_words";
import { Pictures } from "../photos";
import type { Work } from "../work";
import type { Compared, ReviewAnswer } from "./answer";

/** Entries with photos that still stand, of a job. */
function withPhotos(jobId: string): Entry[] {
  const entries = entriesOf(jobId).value.filter((e) => e.state !== "set_aside").map((e) => e.entry);
  const replaced = new Set(entries.map((e) => e.replaces));
  return entries.filter((e) => e.photos?.length && !replaced.has(e.id));
}

/** Photos of one comparison: of the reading handed over, and of the one as found. */
export function ComparedPhotos({ work, row, base }: { work: Work; row: Compared; base: string | null }) {
  const find = (jobId: string | null, id: string | null | undefined) => (jobId && id ? withPhotos(jobId).find((e) => e.id === id) : undefined);
  const [then, now] = [find(base, row.then?.entry_id), find(work.job.id, row.now?.entry_id)];
  return (
    <>
      <Pictures of={then?.photos} words={`${row.label}, handed over`} />
      <Pictures of={now?.photos} words={`${row.label}, as found`} />
    </>
  );
}

/** All other photos of this visit and of the one it comes back from, each beside what it belongs to. */
export function OtherPhotos({ work, review }: { work: Work; review: ReviewAnswer }) {
  const shown = new Set([
    ...review.compared.flatMap((row) => (row.then?.value != null && row.now?.value != null ? [row.then.entry_id, row.now.entry_id] : [])),
    ...review.road_log.map((entry) => entry.id),
  ]);
  const base = review.baseline?.job_id;
  const rows = [...withPhotos(work.job.id), ...(base ? withPhotos(base) : [])].filter((e) => !shown.has(e.id));
  if (!rows.length) return null;
  return (
    <>
      <h2>Photos</h2>
      <ul>{rows.map((entry) => {
        const { what, said } = entryWords(work.cat, entry);
        return <li class="li" key={entry.id}><b>{what}</b> {said} <span class="xs">{entry.job_id === base ? "that job" : "this visit"}, {entry.stage}</span><Pictures of={entry.photos} words={`${what} ${said}`} /></li>;
      })}</ul>
    </>
  );
}
