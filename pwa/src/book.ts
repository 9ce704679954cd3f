/**
 * The seam between screens and data: everything a screen reads is a signal, everything it does is one of these calls.
 * A call that writes resolves only once the write is durable on this phone; sending it is not the screen's business.
 */
import { computed, signal, type ReadonlySignal, type Signal } from "@preact/signals";
import type { Catalogue } from "./catalogue";
import type { Bike, BikeDraft, Entry, EntryDraft, Job, JobDraft, ProblemBody, Role } from "./nouns";

export interface Session {
  token: string;
  role: Role;
  personId: string;
  deviceId: string;
  deviceName: string;
}

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
  /** The service's number, once confirmed. */
  seq?: number;
}

export interface Pending {
  /** Not yet confirmed: entries, bikes and jobs. */
  count: number;
  oldest: Date | null;
  setAside: number;
  byJob: Map<string, number>;
}

/** A bike or job that could not be sent as it is: refused, or edited elsewhere in the same field. */
export interface HeldEdit {
  noun: "bike" | "job";
  id: string;
  state: "refused" | "clash";
  problem?: ProblemBody;
  clashes: { field: string; mine: unknown; theirs: unknown }[];
}

export interface Ride {
  jobId: string;
  openedAt: string;
  marks: { at: string }[];
}

export type SignalState = "online" | "no_signal" | "revoked" | "too_old" | "busy";

/** An answer of the service that is not a success; `status` 0: no answer, or one that is not the service's. */
export class Problem extends Error {
  constructor(readonly status: number, readonly body: ProblemBody) {
    super(body.detail ?? body.title);
    this.name = "Problem";
  }
}

export const session: Signal<Session | null> = signal(null);
export const catalogue: Signal<Catalogue | null> = signal(null);
/** Who is logging on a shared phone; null: the person the phone was paired for. */
export const person: Signal<string | null> = signal(null);

const bikeList: Signal<Bike[]> = signal([]);
const jobList: Signal<Job[]> = signal([]);
export const bikes: ReadonlySignal<Bike[]> = bikeList;
export const jobs: ReadonlySignal<Job[]> = jobList;
export const pending: Signal<Pending> = signal({ count: 0, oldest: null, setAside: 0, byJob: new Map() });
export const held: Signal<HeldEdit[]> = signal([]);
export const signalState: Signal<SignalState> = signal("online");
export { signalState as signal };
export const ride: Signal<Ride | null> = signal(null);
export const persisted: Signal<boolean | null> = signal(null);
/** Entries that were on this phone, not yet confirmed, when the browser cleared its storage. */
export const lost: Signal<{ entries: number } | null> = signal(null);

export const bikeById = (id: string): Bike | undefined => bikeList.value.find((bike) => bike.id === id);
export const jobById = (id: string): Job | undefined => jobList.value.find((job) => job.id === id);
/** Newest first. */
export const jobsOf = (bikeId: string): Job[] => jobList.value.filter((job) => job.bike_id === bikeId);

const nothing = computed<LoggedEntry[]>(() => []);
export const entriesOf = (_jobId: string): ReadonlySignal<LoggedEntry[]> => nothing;
export const entriesOfBike = (_bikeId: string): ReadonlySignal<LoggedEntry[]> => nothing;

export interface Book {
  pair(code: string): Promise<void>;
  unpair(): Promise<void>;
  putBike(body: BikeDraft): Promise<void>;
  putJob(body: JobDraft): Promise<void>;
  log(jobId: string, draft: EntryDraft): Promise<LoggedEntry>;
  undo(entryId: string): Promise<LoggedEntry>;
  openRide(jobId: string): Promise<void>;
  closeRide(): Promise<void>;
  markMoment(): Promise<void>;
  offerPersist(): Promise<boolean>;
  exportSetAside(): Promise<Blob>;
  sendNow(): Promise<void>;
}
