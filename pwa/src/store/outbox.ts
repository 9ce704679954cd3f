/** Entries held on this phone: taken in, given out in batches, and settled by the service's answer. */
import { v7 as uuidv7 } from "uuid";
import type { Entry, EntryDraft, ProblemBody } from "../nouns";
import { localTime } from "../sync/clock";
import { atTrueTime, settled } from "./clock";
import { getMeta, putMeta, read, write, type Device, type HeldEntry, type NewPhoto, type Transaction } from "./database";

const ALL = (state: HeldEntry["state"]) => IDBKeyRange.bound([state, -Infinity], [state, Infinity]);

/** One answer of the service to one entry. */
export interface Result {
  id: string;
  status: "stored" | "duplicate" | "conflict" | "rejected" | "retry";
  seq?: number | null;
  problem?: ProblemBody | null;
}

const CLASH: ProblemBody = {
  title: "Held twice", detail: "The shop's book holds this entry with something else in it. Both are kept: look which is right, and write it anew if need be.",
};
const UNSAID: ProblemBody = { title: "The service gave no reason." };

/**
 * Takes an entry in. The device sequence is taken in the same transaction, so that tabs never share a number and a
 * failed write leaves no gap. `fixes` names an entry set aside that this one puts right; `photos` are kept with it.
 */
export async function addEntry(
  jobId: string, draft: EntryDraft, by: string | null, fixes?: string, photos: NewPhoto[] = [],
): Promise<HeldEntry> {
  const id = uuidv7();
  const now = new Date();
  const named = photos.length ? { photos: [...new Set([...(draft.photos ?? []), ...photos.map((photo) => photo.sha256)])] } : {};
  return write(["meta", "outbox", "entries", ...(photos.length ? ["photos" as const] : [])], async (tx) => {
    const outbox = tx.objectStore("outbox");
    // Asked for together: a tap waits for each way to the database and back.
    const [already, device, clock, replaced] = await Promise.all([
      outbox.index("id").get(id), getMeta(tx, "device"), getMeta(tx, "clock"), draft.replaces ? findEntry(tx, draft.replaces) : undefined,
    ]);
    if (already) return already;
    const next = (device as Device).next_seq;
    // A correction tells when the corrected thing was measured, so it keeps its place in the order.
    const told = draft.taken_at ?? (draft.kind === "void" ? undefined : replaced?.taken_at);
    const offset = settled(clock);
    // What is told is true time; an entry carries the time of the phone's clock.
    const taken_at = told === undefined ? localTime(now) : atTrueTime({ taken_at: told } as Entry, -offset).taken_at;
    const entry = withoutGaps({
      ...draft, ...named, id, job_id: jobId, device_seq: next, taken_at, by: draft.by ?? by ?? undefined,
    }) as Entry;
    const held: HeldEntry = {
      device_seq: entry.device_seq, id, job_id: jobId, entry, state: "queued", saved_at: now.getTime(),
    };
    for (const photo of photos) {
      const kept = tx.objectStore("photos");
      if (!(await kept.getKey(photo.sha256))) await kept.add({ ...photo, state: "queued", saved_at: now.getTime() });
    }
    await Promise.all([outbox.add(held), putMeta(tx, "device", { ...(device as Device), next_seq: next + 1 })]);
    if (fixes) await markFixed(tx, fixes, id);
    return held;
  });
}

/** `undefined` is no JSON value: a field that was left out must not be there at all. */
function withoutGaps<T extends object>(value: T): T {
  return Object.fromEntries(Object.entries(value).filter(([, field]) => field !== undefined)) as T;
}

/** An entry at its true time. */
export async function findEntry(tx: Transaction<IDBTransactionMode>, id: string): Promise<Entry | undefined> {
  const mirrored = (await tx.objectStore("entries").get(id))?.entry;
  if (mirrored) return atTrueTime(mirrored, offsetTold(mirrored));
  const held = await tx.objectStore("outbox").index("id").get(id);
  return held && atTrueTime(held.entry, held.offset_ms ?? settled(await getMeta(tx, "clock")));
}

/** What the service adds to the time of an entry. */
export const offsetTold = (entry: Entry): number | undefined => (entry as { clock_offset_ms?: number }).clock_offset_ms;

async function markFixed(tx: Transaction, id: string, by: string): Promise<void> {
  const held = await tx.objectStore("outbox").index("id").get(id);
  if (held?.state === "set_aside") await tx.objectStore("outbox").put({ ...held, fixed_by: by });
}

/** A person has decided that an entry set aside stays so: it is kept, and no longer asked about. */
export async function layDown(id: string): Promise<void> {
  await write(["outbox"], async (tx) => {
    const held = await tx.objectStore("outbox").index("id").get(id);
    if (held?.state === "set_aside") await tx.objectStore("outbox").put({ ...held, laid_aside: Date.now() });
  });
}

/** Up to `limit` queued entries after `afterSeq` in device order. */
export async function queuedAfter(afterSeq: number, limit: number): Promise<HeldEntry[]> {
  const range = IDBKeyRange.bound(["queued", afterSeq], ["queued", Infinity], true);
  return read(["outbox"], (tx) => tx.objectStore("outbox").index("state").getAll(range, limit));
}

export async function setAside(): Promise<HeldEntry[]> {
  return read(["outbox"], (tx) => tx.objectStore("outbox").index("state").getAll(ALL("set_aside")));
}

export interface Counts {
  entries: number;
  oldest: number | null;
  setAside: number;
  asideByJob: Map<string, number>;
}

/** Counts by the index alone: ten thousand entries held must not slow down a start. */
export async function countHeld(): Promise<Counts> {
  return read(["outbox"], async (tx) => {
    const state = tx.objectStore("outbox").index("state");
    const [entries, first, all] = await Promise.all([state.count(ALL("queued")), state.get(ALL("queued")), state.getAll(ALL("set_aside"))]);
    const aside = all.filter((held) => !held.fixed_by && !held.laid_aside);
    const asideByJob = aside.reduce((jobs, held) => jobs.set(held.job_id, (jobs.get(held.job_id) ?? 0) + 1), new Map<string, number>());
    return { entries, oldest: first?.saved_at ?? null, setAside: aside.length, asideByJob };
  });
}

/** The jobs that queued entries belong to. */
export async function jobsQueued(): Promise<string[]> {
  return read(["outbox"], async (tx) => {
    const found: string[] = [];
    // From job to job by hand: WebKit refuses a cursor that skips repeats ("nextunique") where there is nothing yet.
    let cursor = await tx.objectStore("outbox").index("state_job").openKeyCursor(IDBKeyRange.bound(["queued", ""], ["queued", "\uffff"]));
    while (cursor) {
      const [state, job] = cursor.key;
      found.push(job);
      cursor = await cursor.continue([state, `${job}\0`]);
    }
    return found;
  });
}

/** Writes down what the service said about each entry sent: all at once, since a save waits for the end of it. */
export async function settle(tx: Transaction, sent: HeldEntry[], results: Result[], epoch: string): Promise<void> {
  const offset = settled(await getMeta(tx, "clock"));
  await Promise.all(results.map((result, i) => settleOne(tx, sent[i]!.device_seq, result, epoch, offset)));
  for (const [i, { status }] of results.entries()) if (status === "retry") await replaceAnother(tx, sent[i]!.device_seq);
}

const NOTHING_TO_TAKE_BACK: ProblemBody = { title: "Nothing to take back", detail: "What it takes back never came into the shop's book." };

/**
 * What replaces an entry that was set aside would wait for it for good: it replaces what that one was to replace, and
 * puts it right. The service has answered "later", so it has nothing of it, and may get it with another content.
 */
async function replaceAnother(tx: Transaction, deviceSeq: number): Promise<void> {
  const outbox = tx.objectStore("outbox");
  const held = await outbox.get(deviceSeq);
  const wrong = held?.entry.replaces ? await outbox.index("id").get(held.entry.replaces) : undefined;
  if (held?.state !== "queued" || wrong?.state !== "set_aside") return;
  const { problem: _, retry_since: __, ...rest } = held;
  const { replaces: ___, ...entry } = held.entry;
  const before = wrong.entry.replaces;
  if (entry.kind === "void" && (!before || wrong.entry.kind === "void")) {
    const laid_aside = Date.now();
    await outbox.put({ ...rest, state: "set_aside", problem: NOTHING_TO_TAKE_BACK, laid_aside });
    if (!wrong.fixed_by) await outbox.put({ ...wrong, laid_aside: wrong.laid_aside ?? laid_aside });
    return;
  }
  await outbox.put({ ...rest, entry: (before ? { ...entry, replaces: before } : entry) as Entry });
  if (!wrong.fixed_by && !wrong.laid_aside) await outbox.put({ ...wrong, fixed_by: held.id });
}

async function settleOne(tx: Transaction, deviceSeq: number, result: Result, epoch: string, offset: number): Promise<void> {
  const outbox = tx.objectStore("outbox");
  const held = await outbox.get(deviceSeq);
  if (!held) return;
  if (result.status === "stored" || result.status === "duplicate") {
    const { problem: _, retry_since: __, ...rest } = held;
    await Promise.all([
      outbox.put({ ...rest, state: "confirmed", seq: result.seq ?? undefined, epoch }),
      mirrorOwn(tx, held, result.seq ?? null, epoch, offset),
    ]);
  } else if (result.status === "rejected" || result.status === "conflict") {
    await outbox.put({ ...held, state: "set_aside", problem: result.problem ?? (result.status === "conflict" ? CLASH : UNSAID) });
  } else {
    const problem = result.problem ?? held.problem;
    await outbox.put({ ...held, retry_since: held.retry_since ?? Date.now(), ...(problem && { problem }) });
  }
}

async function mirrorOwn(tx: Transaction, held: HeldEntry, seq: number | null, epoch: string, offset: number): Promise<void> {
  const row = await tx.objectStore("entries").get(held.id);
  if (row?.epoch === epoch && row.seq !== null) return;
  const clock_offset_ms = held.offset_ms ?? offset;
  const entry = clock_offset_ms ? ({ ...held.entry, clock_offset_ms } as unknown as Entry) : held.entry;
  await tx.objectStore("entries").put({ id: held.id, job_id: held.job_id, seq, epoch, entry });
}

/** A whole request was refused because of this one entry. */
export async function putAside(held: HeldEntry, problem: ProblemBody): Promise<void> {
  await write(["outbox"], async (tx) => {
    await tx.objectStore("outbox").put({ ...held, state: "set_aside", problem });
  });
}

/** Drops entries that the service's backup holds; those of another epoch or without a number are kept. */
export async function dropBackedUp(tx: Transaction, backedUpTo: number, epoch: string): Promise<void> {
  const outbox = tx.objectStore("outbox");
  const confirmed = await outbox.index("state").getAll(ALL("confirmed"));
  const safe = confirmed.filter((held) => held.epoch === epoch && held.seq !== undefined && held.seq <= backedUpTo);
  await Promise.all(safe.map((held) => outbox.delete(held.device_seq)));
}

/** A service restored from a backup may lack what it confirmed after it: all of that is offered again. */
export async function offerAgain(tx: Transaction): Promise<void> {
  const outbox = tx.objectStore("outbox");
  const confirmed = await outbox.index("state").getAll(ALL("confirmed"));
  await Promise.all(confirmed.map(({ seq: _, epoch: __, ...rest }) => outbox.put({ ...rest, state: "queued" })));
}
