/**
 * The seam between screens and data: everything a screen reads is a signal, everything it does is one of these calls.
 * A call that writes resolves only once the write is durable on this phone; sending it is not the screen's business.
 */
import { computed, signal, type ReadonlySignal, type Signal } from "@preact/signals";
import type { Catalogue } from "./catalogue";
import type { Bike, BikeDraft, Entry, EntryDraft, Job, JobDraft, ProblemBody } from "./nouns";
import { latest } from "./latest";
import { saved, tellUnsaved } from "./problem";
import { loadRide, ride, settleAtStart } from "./ride";
import { deviceKind, loadSession, pairDevice, person, session } from "./session";
import { clockOffset, loadClock } from "./store/clock";
import { read, type Clash, type HeldEntry, type NewPhoto, type Noun } from "./store/database";
import { dropEdit, openEdits, putEdit } from "./store/edits";
import { lossSeen, noteLoss, rememberHeld } from "./store/loss";
import { same } from "./store/merge";
import { viewNouns } from "./store/mirror";
import { loadRestored } from "./store/restored";
import { addEntry, countHeld, findEntry, jobsQueued, layDown, setAside } from "./store/outbox";
import { asLogged, entriesOf, isStuck, reloadEntries, show, underWay } from "./store/shown";
import { fetchCatalogue, storedCatalogue } from "./sync/catalogue";
import { startSync, syncNow } from "./sync/sync";
import { onOtherTab, tellTabs } from "./sync/tabs";
import { lookForUpdate, registerWorker } from "./update";

export { closeRide, dropMark, markMoment, openRide, ride, type Ride } from "./ride";
export { clockOffset, moment } from "./store/clock";
export { lost } from "./store/loss";
export { restoredAt, restoredSeen } from "./store/restored";
export { entriesOf } from "./store/shown";
export { lastProblem, otherAnswers, signalState } from "./sync/sync";
export { signalState as signal } from "./sync/sync";
export { api } from "./online";
export { NotSaved, Problem, unsaved } from "./problem";
export { choosePerson, person, session, unpair, type Session } from "./session";
export { updateReady } from "./update";

export type LocalState = "queued" | "sending" | "confirmed" | "set_aside";

export interface LoggedEntry {
  entry: Entry;
  state: LocalState;
  /** Why it was set aside, or why the service asked to have it again later. */
  problem?: ProblemBody;
  /** Set when the service has said "later" for more than a day: show the problem. */
  stuck?: boolean;
  /** Set aside and put right by this newer entry. */
  fixedBy?: string;
  /** Set aside, and a person has decided that it stays so. */
  laidAside?: boolean;
  /** The service's number, once confirmed. */
  seq?: number;
}

export interface Pending {
  /** Not yet confirmed: entries, bikes and jobs. */
  count: number;
  /** How many of them are bikes and jobs. */
  edits: number;
  oldest: Date | null;
  setAside: number;
  asideByJob: Map<string, number>;
}

/**
 * A bike or job that cannot be sent as it is: refused, edited elsewhere in the same field, or, for a day already, waiting
 * for something the service lacks.
 */
export interface HeldEdit {
  noun: Noun;
  id: string;
  state: "refused" | "clash" | "stuck";
  problem?: ProblemBody;
  clashes: Clash[];
}

export type SignalState = "online" | "no_signal" | "revoked" | "too_old" | "busy" | "other_shop";

export const catalogue: Signal<Catalogue | null> = signal(null);
/** False until what the phone holds has been read. */
export const loaded: Signal<boolean> = signal(false);
export const persisted: Signal<boolean | null> = signal(null);

const bikeList: Signal<Bike[]> = signal([]);
const jobList: Signal<Job[]> = signal([]);
export const bikes: ReadonlySignal<Bike[]> = bikeList;
/** Newest first. */
export const jobs: ReadonlySignal<Job[]> = jobList;
export const pending: Signal<Pending> = signal({ count: 0, edits: 0, oldest: null, setAside: 0, asideByJob: new Map() });
export const held: Signal<HeldEdit[]> = signal([]);

const bikesById = computed(() => new Map(bikeList.value.map((bike) => [bike.id, bike])));
const jobsById = computed(() => new Map(jobList.value.map((job) => [job.id, job])));
export const bikeById = (id: string): Bike | undefined => bikesById.value.get(id);
export const jobById = (id: string): Job | undefined => jobsById.value.get(id);
const jobsByBike = computed(() => {
  const found = new Map<string, Job[]>();
  for (const job of jobList.value) found.set(job.bike_id, [...(found.get(job.bike_id) ?? []), job]);
  return found;
});
export const jobsOf = (bikeId: string): Job[] => jobsByBike.value.get(bikeId) ?? [];

const ofBike = new Map<string, ReadonlySignal<LoggedEntry[]>>();
/** Entries of all jobs of a bike, oldest job first, each job in its order. */
export function entriesOfBike(bikeId: string): ReadonlySignal<LoggedEntry[]> {
  const found = ofBike.get(bikeId) ?? computed(() => jobsOf(bikeId).toReversed().flatMap((job) => entriesOf(job.id).value));
  ofBike.set(bikeId, found);
  return found;
}

/** Jobs that are not confirmed themselves, new or changed. */
export const jobsUnsent: Signal<ReadonlySet<string>> = signal(new Set());
/** How much of a job the service has not confirmed: its entries as far as they have been read, and the job itself. */
export function unsentOf(jobId: string): number {
  const rows = entriesOf(jobId).value.filter((row) => row.state === "queued" || row.state === "sending");
  return rows.length + (jobsUnsent.value.has(jobId) ? 1 : 0);
}

/** The jobs of which something waits to be sent. */
export const jobsWaiting = async (): Promise<string[]> => [...new Set([...(await jobsQueued()), ...jobsUnsent.value])];

/** Reads what the phone holds, then starts to sync. The screens can be drawn when it resolves. */
export async function openBook(): Promise<void> {
  tellUnsaved();
  // The count comes before the first picture: "all confirmed" must not be said before it is known.
  const stored = storedCatalogue();
  await Promise.all([loadSession(), loadClock(), loadNouns(), loadRide(), loadRestored(), noteLoss().then(countPending)]);
  catalogue.value = await stored;
  loaded.value = true;
  onOtherTab(() => void followOtherTab());
  void navigator.storage?.persisted?.().then((answer) => (persisted.value = answer));
  // An app that cannot register its worker still works while there is a signal.
  void registerWorker(() => ride.value !== null).catch(() => undefined).then(settleAtStart);
  startSync({
    changed: (jobIds) => reload(jobIds).then(tellTabs),
    underWay: (ids) => (underWay.value = new Set(ids)),
    tooOld: () => void lookForUpdate(),
    allSent: () => void thePhotos().then((own) => own.photosDue()).catch(() => undefined),
  });
  void refreshCatalogue();
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState !== "visible") return;
    void refreshCatalogue();
    if (!ride.value) void lookForUpdate();
  });
}

/** Another tab has changed the database. One that was not paired has no round of its own ahead of it. */
async function followOtherTab(): Promise<void> {
  const before = session.value?.token;
  await reload();
  if (session.value && session.value.token !== before) void syncNow();
}

/** Asks for the catalogue anew: after the shop's own bands, steps or causes were changed here. */
export async function refreshCatalogue(): Promise<void> {
  const token = session.value?.token;
  if (token) catalogue.value = (await fetchCatalogue(token)) ?? catalogue.value;
}

/** Made once: it takes longer to make than a shop's labels to sort. */
const inWords = new Intl.Collator();

async function loadNouns(): Promise<void> {
  const found = await viewNouns();
  bikeList.value = keeping(bikesById.value, found.bikes).sort((one, other) => inWords.compare(one.label, other.label));
  jobList.value = keeping(jobsById.value, found.jobs).sort((one, other) => Date.parse(other.opened_at) - Date.parse(one.opened_at));
}

/** What has not changed stays the same object, so that nothing is worked out anew for it. */
function keeping<T extends { id: string }>(known: ReadonlyMap<string, T>, found: T[]): T[] {
  return found.map((one) => {
    const before = known.get(one.id);
    return before && same(before, one) ? before : one;
  });
}

const countPending = latest(async () => {
  const [counts, bikeEdits, jobEdits] = await Promise.all([countHeld(), openEdits("bike"), openEdits("job")]);
  const edits = [...bikeEdits, ...jobEdits];
  const since = Math.min(counts.oldest ?? Infinity, ...edits.map((edit) => edit.saved_at));
  pending.value = {
    count: counts.entries + edits.length,
    edits: edits.length,
    oldest: Number.isFinite(since) ? new Date(since + clockOffset.value) : null,
    setAside: counts.setAside,
    asideByJob: counts.asideByJob,
  };
  jobsUnsent.value = new Set(jobEdits.map((edit) => edit.id));
  held.value = edits.flatMap((edit) => {
    const state = isStuck(edit.retry_since) ? "stuck" : edit.state;
    if (state === "queued" || state === "confirmed") return [];
    return [{ noun: edit.noun, id: edit.id, state, clashes: edit.clashes ?? [], ...(edit.problem && { problem: edit.problem }) }];
  });
  void rememberHeld({ held: pending.value.count + pending.value.setAside, edits: edits.length });
});

const touched = { jobs: new Set<string>(), all: false };
/** Reads again what has changed: the entries of these jobs, or everything. */
function reload(jobIds?: Iterable<string>): Promise<void> {
  for (const id of jobIds ?? []) touched.jobs.add(id);
  touched.all ||= !jobIds;
  return readTouched();
}

const readTouched = latest(async () => {
  const { jobs: ids, all } = { ...touched };
  Object.assign(touched, { jobs: new Set(), all: false });
  if (all) await loadClock();
  const rest = all ? [loadSession(), loadNouns(), loadRide(), loadRestored(), reloadEntries()] : [reloadEntries(ids)];
  await Promise.all([...rest, countPending()]);
});

/** One more entry; counted here, since a count over all that is held would make the next save wait. */
function countOneMore({ saved_at }: HeldEntry, fixes: boolean): void {
  if (fixes || countPending.isRunning()) return void countPending();
  const { count, oldest, setAside } = pending.value;
  pending.value = { ...pending.value, count: count + 1, oldest: oldest ?? new Date(saved_at + clockOffset.value) };
  void rememberHeld({ held: count + 1 + setAside });
}

let photos: typeof import("./sync/photos") | undefined;
/** Nothing of the first picture needs their code. */
const thePhotos = async () => (photos ??= await import("./sync/photos"));

/** After a write on this phone: the other tabs and the service are to know. */
function written(): void {
  photos?.standBack();
  tellTabs();
  void syncNow();
}

/** Set aside, and about to be written anew by a person: the next entry of the same thing in its job puts it right. */
export const puttingRight: Signal<Entry | null> = signal(null);

/** What of the catalogue an entry is about. */
function about({ data }: Pick<Entry, "data">): string | undefined {
  const named = data as Partial<Record<"quantity" | "adjuster" | "fastener" | "check", string>>;
  return named.quantity ?? named.adjuster ?? named.fastener ?? named.check;
}

/** Logs an entry, with photos that were taken of it. Resolves once both are durable on this phone; throws NotSaved. */
export async function log(jobId: string, draft: EntryDraft, taken?: NewPhoto[]): Promise<LoggedEntry> {
  const wrong = puttingRight.value;
  const fixes = wrong?.job_id === jobId && wrong.kind === draft.kind && about(wrong) === about(draft) ? wrong.id : undefined;
  const held = await saved(addEntry(jobId, draft, person.value ?? session.value?.personId ?? null, fixes, taken));
  if (fixes) puttingRight.value = null;
  show(held);
  countOneMore(held, fixes !== undefined);
  if (taken?.length) void thePhotos().then((own) => own.countPhotos()).catch(() => undefined);
  written();
  return asLogged(held);
}

/** Takes an entry back by logging a void of it. */
export async function undo(entryId: string): Promise<LoggedEntry> {
  const entry = await read(["meta", "outbox", "entries"], (tx) => findEntry(tx, entryId));
  if (!entry) throw new Error("There is no such entry on this phone.");
  return log(entry.job_id, { kind: "void", stage: entry.stage, replaces: entryId, data: {} });
}

export async function putBike(body: BikeDraft): Promise<void> {
  await saved(putEdit("bike", body));
  await Promise.all([loadNouns(), countPending()]);
  written();
}

export async function putJob(body: JobDraft): Promise<void> {
  await saved(putEdit("job", body));
  await Promise.all([loadNouns(), countPending()]);
  written();
}

/** Gives up this phone's edit of a bike or job, of a clash what clashes: the service's version stands. */
export async function withdrawEdit(noun: Noun, id: string): Promise<void> {
  await saved(dropEdit(noun, id));
  await Promise.all([loadNouns(), countPending()]);
  written();
}

/** Pairs this phone by a one-time code and brings the shop's book to it. Throws Problem. */
export async function pair(code: string, deviceName: string = deviceKind()): Promise<void> {
  await pairDevice(code, deviceName);
  await Promise.all([syncNow(), refreshCatalogue()]);
}

/** The person has read that something was lost. */
export async function seenLoss(): Promise<void> {
  const { count, setAside, edits } = pending.value;
  await lossSeen({ held: count + setAside, edits });
  void photos?.countPhotos();
}

/** The button: tries at once to send and read all there is. */
export const sendNow = (): Promise<void> => syncNow();

/** Entries set aside, those put right or laid aside among them. */
export const asideHeld = async (): Promise<LoggedEntry[]> => (await setAside()).map(asLogged);

/** Lays an entry that was set aside down for good: it stays on the phone, and is no longer counted. */
export async function layAside(entryId: string): Promise<void> {
  await saved(layDown(entryId));
  await reload();
  tellTabs();
}

/** Entries set aside, with the reason, for a person to read elsewhere. */
export async function exportSetAside(): Promise<Blob> {
  const rows = (await setAside()).map(({ entry, problem, saved_at, fixed_by, laid_aside }) => ({
    entry, problem, saved_at: new Date(saved_at).toISOString(), ...(fixed_by && { fixed_by }), ...(laid_aside && { laid_aside: new Date(laid_aside).toISOString() }),
  }));
  return new Blob([JSON.stringify(rows, null, 2)], { type: "application/json" });
}

/** Asks the browser to keep what is stored here. */
export async function offerPersist(): Promise<boolean> {
  persisted.value = (await navigator.storage?.persist?.()) ?? false;
  return persisted.value;
}
