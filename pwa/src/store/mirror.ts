/** What the service has said: bikes, jobs and entries by the changes feed, and which of its lives (epochs) they are from. */
import type { Bike, Entry, Job } from "../nouns";
import { getMeta, putMeta, read, write, type Drafts, type Transaction } from "./database";
import { dropBackedUpEdits, offerEditsAgain, offerLost, rebaseOpenEdit } from "./edits";
import { dropBackedUp, offerAgain } from "./outbox";

export interface Change {
  seq: number;
  noun: string;
  body: unknown;
}

export const EVERYTHING = ["meta", "outbox", "edits", "bikes", "jobs", "entries"] as const;

/**
 * Takes note of the epoch an answer came from. A new one means that the service was restored from a backup: the cursor
 * starts at 0 and everything still held is offered again.
 */
export async function noteEpoch(tx: Transaction, epoch: string): Promise<void> {
  const known = await getMeta(tx, "epoch");
  if (known === epoch) return;
  await putMeta(tx, "epoch", epoch);
  if (known === undefined) return;
  await putMeta(tx, "cursor", 0);
  await putMeta(tx, "restored", true);
  await putMeta(tx, "restored_at", Date.now());
  await tx.objectStore("meta").delete("backed_up_to");
  await offerAgain(tx);
  await offerEditsAgain(tx);
}

/** Writes one page of the feed and moves the cursor in the same transaction. */
export async function applyChanges(epoch: string, after: number, changes: Change[], next: number): Promise<boolean> {
  return write([...EVERYTHING], async (tx) => {
    await noteEpoch(tx, epoch);
    // The page was asked for with a cursor of the service's earlier life.
    if (((await getMeta(tx, "cursor")) ?? 0) !== after) return false;
    for (const change of changes) await applyNoun(tx, epoch, change);
    const entries = changes.filter(({ noun }) => noun === "entry");
    await Promise.all([...entries.map((change) => applyEntry(tx, epoch, change)), putMeta(tx, "cursor", next)]);
    return true;
  });
}

async function applyEntry(tx: Transaction, epoch: string, { seq, body }: Change): Promise<void> {
  const entry = body as Entry;
  await tx.objectStore("entries").put({ id: entry.id, job_id: entry.job_id, seq, epoch, entry });
}

/** A bike or job, one after the other: an edit of it is held against each. */
async function applyNoun(tx: Transaction, epoch: string, { noun, body }: Change): Promise<void> {
  if (noun === "bike") {
    await tx.objectStore("bikes").put({ id: (body as Bike).id, body: body as Bike, epoch });
    await rebaseOpenEdit(tx, "bike", body as Bike);
  } else if (noun === "job") {
    await tx.objectStore("jobs").put({ id: (body as Job).id, body: body as Job, epoch });
    await rebaseOpenEdit(tx, "job", body as Job);
  }
  // Nouns of a newer service are passed over, as entries are here; this app would not know how to show them.
}

/** The feed has been read to its end: what the restored service lacks is offered by this phone. Says if there was any. */
export async function feedRead(epoch: string): Promise<boolean> {
  return write(["meta", "edits", "bikes", "jobs"], async (tx) => {
    if ((await getMeta(tx, "epoch")) !== epoch) return true;
    if (!(await getMeta(tx, "restored"))) return false;
    await tx.objectStore("meta").delete("restored");
    return (await offerLost(tx, epoch)) > 0;
  });
}

/** The backup has reached `seq`: copies up to it need not be held any longer. */
export async function noteBackup(tx: Transaction, backedUpTo: number | null | undefined, epoch: string): Promise<void> {
  if (typeof backedUpTo !== "number" || backedUpTo <= ((await getMeta(tx, "backed_up_to")) ?? -1)) return;
  await putMeta(tx, "backed_up_to", backedUpTo);
  await dropBackedUp(tx, backedUpTo, epoch);
  await dropBackedUpEdits(tx, backedUpTo, epoch);
}

/** Bikes or jobs as a screen shows them: the service's version with this phone's own edit over it. */
export async function viewNouns(): Promise<{ bikes: Bike[]; jobs: Job[] }> {
  return read(["bikes", "jobs", "edits"], async (tx) => {
    const [bikes, jobs, edits] = await Promise.all([
      tx.objectStore("bikes").getAll(), tx.objectStore("jobs").getAll(), tx.objectStore("edits").getAll(),
    ]);
    const bikeViews = new Map<string, Bike>(bikes.map((row) => [row.id, row.body]));
    const jobViews = new Map<string, Job>(jobs.map((row) => [row.id, row.body]));
    for (const edit of edits.filter((one) => one.state !== "confirmed")) {
      if (edit.noun === "bike") overlay(bikeViews, edit.body as Drafts["bike"], { seq: null });
      else overlay(jobViews, edit.body as Drafts["job"], { seq: null, state: "open" });
    }
    return { bikes: [...bikeViews.values()], jobs: [...jobViews.values()] };
  });
}

/** What the service adds to a noun stays as it last said. */
const ADDED = ["seq", "family", "state"];

function overlay<T extends { id: string }>(views: Map<string, T>, mine: { id: string }, unsent: Partial<T>): void {
  const theirs = views.get(mine.id);
  const added = theirs ? Object.fromEntries(Object.entries(theirs).filter(([key]) => ADDED.includes(key))) : unsent;
  views.set(mine.id, { ...added, ...mine } as T);
}
