/** Entries as the screens see them: loaded a job at a time, since a phone may hold the shop's whole book. */
import { computed, signal, type ReadonlySignal, type Signal } from "@preact/signals";
import type { LoggedEntry } from "../book";
import type { Entry } from "../nouns";
import { atTrueTime, clockOffset } from "./clock";
import { offsetTold } from "./outbox";
import { getMeta, read, type HeldEntry, type MirroredEntry } from "./database";
import { same } from "./merge";

const STUCK_AFTER_MS = 24 * 60 * 60_000;
/** Has the service said "later" for more than a day? */
export const isStuck = (since: number | undefined): boolean => since !== undefined && Date.now() - since > STUCK_AFTER_MS;

/** Ids of entries that are on their way at this moment. */
export const underWay: Signal<ReadonlySet<string>> = signal(new Set());

/** Says that the database has changed: the entries of these jobs alone, or anything. */
export type Changed = (jobIds?: Iterable<string>) => void;

/** Told of entries that have changed, of these jobs or of any: by whoever keeps something of all jobs. */
export const heard: { by?: (jobIds: Iterable<string> | null) => void } = {};

interface Shown {
  rows: Signal<LoggedEntry[]>;
  view: ReadonlySignal<LoggedEntry[]>;
}
const shown = new Map<string, Shown>();

/** The entries of a job until they have been read: it is not the same as having none. */
export const NOT_READ: LoggedEntry[] = [];

/** Entries of one job in their order, replaced ones included; NOT_READ at first. */
export function entriesOf(jobId: string): ReadonlySignal<LoggedEntry[]> {
  let job = shown.get(jobId);
  if (!job) {
    const rows = signal(NOT_READ);
    const sends = (row: LoggedEntry) => row.state === "queued" && underWay.value.has(row.entry.id);
    // The same list where nothing of it is sent, so that nothing is worked out anew.
    const view = computed(() => !rows.value.some(sends) ? rows.value :
      rows.value.map((row) => (sends(row) ? { ...row, state: "sending" as const } : row)));
    job = { rows, view };
    shown.set(jobId, job);
    void load(jobId, rows);
  }
  return job.view;
}

async function load(jobId: string, rows: Signal<LoggedEntry[]>): Promise<void> {
  const [held, mirrored, epoch] = await read(["meta", "outbox", "entries"], (tx) => Promise.all([
    tx.objectStore("outbox").index("job").getAll(jobId),
    tx.objectStore("entries").index("job").getAll(jobId),
    getMeta(tx, "epoch"),
  ]));
  const found = inOrder(combine(held, mirrored, epoch));
  if (rows.value === NOT_READ || !same(rows.value, found)) rows.value = found;
}

function combine(held: HeldEntry[], mirrored: MirroredEntry[], epoch: string | undefined): LoggedEntry[] {
  const rows = new Map<string, LoggedEntry>();
  for (const row of mirrored) {
    // A restored service has to say of each one anew that it has it.
    const state = row.epoch === epoch ? "confirmed" : "queued";
    rows.set(row.id, { entry: atTrueTime(row.entry, offsetTold(row.entry)), state, ...(row.seq !== null && { seq: row.seq }) });
  }
  // What this phone holds says more than the mirror; once confirmed, the service's own wording stands.
  for (const own of held) if (own.state !== "confirmed" || !rows.has(own.id)) rows.set(own.id, asLogged(own));
  return [...rows.values()];
}

export function asLogged(held: HeldEntry): LoggedEntry {
  return {
    entry: atTrueTime(held.entry, held.offset_ms ?? clockOffset.value),
    state: held.state,
    ...(held.problem && { problem: held.problem }),
    ...(held.fixed_by && { fixedBy: held.fixed_by }),
    ...(held.laid_aside && { laidAside: true }),
    ...(held.seq !== undefined && { seq: held.seq }),
    ...(isStuck(held.retry_since) && { stuck: true }),
  };
}

const when = (entry: Entry) => Date.parse(entry.taken_at);

export function inOrder(rows: LoggedEntry[]): LoggedEntry[] {
  return rows.sort((one, other) =>
    when(one.entry) - when(other.entry) || one.entry.device_seq - other.entry.device_seq || (one.seq ?? 0) - (other.seq ?? 0));
}

/** Shows an entry at once that has just been written. */
export function show(held: HeldEntry): void {
  heard.by?.([held.job_id]);
  const job = shown.get(held.job_id);
  const rows = job?.rows.value ?? NOT_READ;
  // What is not yet read will be read with it.
  if (!job || rows === NOT_READ || rows.some((row) => row.entry.id === held.id)) return;
  const last = rows.at(-1);
  // As a rule the newest comes last, and the long list need not be sorted anew.
  const logged = asLogged(held);
  const inPlace = !last || when(last.entry) <= when(logged.entry);
  job.rows.value = inPlace ? [...rows, logged] : inOrder([...rows, logged]);
}

/** Reads again what the screens have asked for: of these jobs, or of all. */
export async function reloadEntries(jobIds?: Iterable<string>): Promise<void> {
  heard.by?.(jobIds ?? null);
  await Promise.all([...(jobIds ?? shown.keys())].map((id) => shown.has(id) && load(id, shown.get(id)!.rows)));
}
