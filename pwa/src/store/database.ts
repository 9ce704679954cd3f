/**
 * The phone's database. Every write is one transaction with strict durability whose completion is awaited: what the
 * screen confirms lies on the phone's disk. A connection that the browser has closed is opened again.
 */
import { openDB, type DBSchema, type IDBPDatabase, type IDBPTransaction, type StoreNames } from "idb";
import { v7 as uuidv7 } from "uuid";
import type { Bike, BikeDraft, Entry, Job, JobDraft, ProblemBody, Role } from "../nouns";

export const DATABASE = "roadproof";
const VERSION = 2;

export interface Device {
  /** Made with the outbox; a new pairing does not change it. */
  id: string;
  next_seq: number;
}

/** An entry as it is held until the service has it in its backup. */
export interface HeldEntry {
  device_seq: number;
  id: string;
  job_id: string;
  /** Sent again and again exactly as it is: the service tells a repeat by its content. But see `replaceAnother`. */
  entry: Entry;
  state: "queued" | "confirmed" | "set_aside";
  saved_at: number;
  problem?: ProblemBody;
  /** Since when the service has answered "later". */
  retry_since?: number;
  /** What the phone's clock was off by when this was saved, where it has been set since; in ms. */
  offset_ms?: number;
  fixed_by?: string;
  /** Set aside, and a person has decided that it stays so; when, in ms. */
  laid_aside?: number;
  seq?: number;
  epoch?: string;
}

/** A photo made smaller, ready to be kept; always a JPEG. */
export interface NewPhoto {
  /** Of the bytes, in lower-case hexadecimal. */
  sha256: string;
  bytes: ArrayBuffer;
}

/** Held as bytes, not as a Blob: browsers write a Blob beside the database, out of reach of its durability. */
export interface HeldPhoto extends NewPhoto {
  state: "queued" | "sent" | "refused";
  saved_at: number;
  problem?: ProblemBody;
  /** Where it was sent: the service's life, and the newest number of its book then. */
  epoch?: string;
  seq?: number;
}

export type Noun = "bike" | "job";
export interface Drafts {
  bike: BikeDraft;
  job: JobDraft;
}
export interface Clash {
  field: string;
  mine: unknown;
  theirs: unknown;
}

/** A bike or job as this phone wants it to be, and the version it started from. */
export interface HeldEdit<N extends Noun = Noun> {
  noun: N;
  id: string;
  body: Drafts[N];
  base: Drafts[N] | null;
  base_seq: number | null;
  /** Versions this phone has seen since the last backup: a restored service may be back at any of them. */
  earlier?: Drafts[N][];
  /** Offered again after a restore. */
  again?: boolean;
  /** Counts edits made here, so that an answer to an older one does not confirm a newer one. */
  rev: number;
  state: "queued" | "confirmed" | "refused" | "clash";
  saved_at: number;
  problem?: ProblemBody;
  /** Since when the service has answered "later": it lacks something this one refers to. */
  retry_since?: number;
  clashes?: Clash[];
  seq?: number;
  epoch?: string;
}

/** A row of the mirror: what the service last said, and in which epoch. */
export interface Mirrored<Body> {
  id: string;
  body: Body;
  epoch: string | null;
}
export interface MirroredEntry {
  id: string;
  job_id: string;
  seq: number | null;
  epoch: string | null;
  entry: Entry;
}

export interface Meta {
  device: Device;
  session: { token: string; role: Role; personId: string; deviceName: string };
  /** Whose book this phone holds, and the token for which the service has said so. */
  shop: string;
  shop_checked: string;
  person: string;
  epoch: string;
  cursor: number;
  /** The epoch has changed and the feed has not been read to its end since. */
  restored: boolean;
  /** When that was seen, in ms; until a person has read of it. */
  restored_at: number;
  backed_up_to: number;
  /** The last reading of the clock, and the number the next entry was to have at that moment. */
  clock: { offset_ms: number; round_trip_ms: number; at: number; next_seq?: number };
  ride: { jobId: string; openedAt: string; marks: { at: string }[] };
  ride_wanted: string;
  catalogue: { etag: string | null; body: unknown };
}

export interface Schema extends DBSchema {
  meta: { key: string; value: unknown };
  outbox: {
    key: number;
    value: HeldEntry;
    indexes: { id: string; job: string; state: [string, number]; state_job: [string, string] };
  };
  edits: { key: [string, string]; value: HeldEdit; indexes: { state: string } };
  bikes: { key: string; value: Mirrored<Bike> };
  jobs: { key: string; value: Mirrored<Job> };
  entries: { key: string; value: MirroredEntry; indexes: { job: string } };
  photos: { key: string; value: HeldPhoto; indexes: { state: [string, number]; sent: [string, number] } };
}
export type Store = StoreNames<Schema>;
export type Transaction<Mode extends IDBTransactionMode = "readwrite"> = IDBPTransaction<Schema, Store[], Mode>;

let opened: Promise<IDBPDatabase<Schema>> | null = null;

function open(): Promise<IDBPDatabase<Schema>> {
  opened ??= openDB<Schema>(DATABASE, VERSION, {
    upgrade(db, from) {
      if (from < 1) first(db);
      const photos = db.createObjectStore("photos", { keyPath: "sha256" });
      photos.createIndex("state", ["state", "saved_at"]);
      photos.createIndex("sent", ["epoch", "seq"]);
    },
    // Another tab with a newer app wants to upgrade: let it, and open again when needed.
    blocking: (_current, _blocked, event) => {
      (event.target as IDBDatabase).close();
      opened = null;
    },
    terminated: () => (opened = null),
  }).catch((error: unknown) => {
    opened = null;
    throw error;
  });
  return opened;
}

/** The stores of version 1. */
function first(db: IDBPDatabase<Schema>): void {
  const meta = db.createObjectStore("meta");
  void meta.put({ id: uuidv7(), next_seq: 1 } satisfies Device, "device");
  const outbox = db.createObjectStore("outbox", { keyPath: "device_seq" });
  outbox.createIndex("id", "id", { unique: true });
  outbox.createIndex("job", "job_id");
  outbox.createIndex("state", ["state", "device_seq"]);
  outbox.createIndex("state_job", ["state", "job_id"]);
  db.createObjectStore("edits", { keyPath: ["noun", "id"] }).createIndex("state", "state");
  db.createObjectStore("bikes", { keyPath: "id" });
  db.createObjectStore("jobs", { keyPath: "id" });
  db.createObjectStore("entries", { keyPath: "id" }).createIndex("job", "job_id");
}

/** Closes the connection; the next use opens it again. */
export async function closeDatabase(): Promise<void> {
  const db = await opened?.catch(() => null);
  opened = null;
  db?.close();
}

const isLost = (error: unknown) => error instanceof DOMException && error.name === "InvalidStateError";

/**
 * Runs `work` in one strictly durable transaction and resolves once it has been completed. Nothing but database calls
 * may be awaited inside. `work` is run a second time where the connection was lost before anything was written.
 */
export async function write<T>(stores: Store[], work: (tx: Transaction) => Promise<T>): Promise<T> {
  return attempt(stores, "readwrite", work);
}

export async function read<T>(stores: Store[], work: (tx: Transaction<"readonly">) => Promise<T>): Promise<T> {
  return attempt(stores, "readonly", work);
}

async function attempt<Mode extends "readonly" | "readwrite", T>(
  stores: Store[],
  mode: Mode,
  work: (tx: IDBPTransaction<Schema, Store[], Mode>) => Promise<T>,
): Promise<T> {
  for (let left = 1; ; left--) {
    const db = await open();
    try {
      return await run(db.transaction(stores, mode, { durability: "strict" }), work);
    } catch (error) {
      if (!isLost(error) || left === 0) throw error;
      opened = null;
    }
  }
}

async function run<Mode extends "readonly" | "readwrite", T>(
  tx: IDBPTransaction<Schema, Store[], Mode>,
  work: (tx: IDBPTransaction<Schema, Store[], Mode>) => Promise<T>,
): Promise<T> {
  // Looked at below; without this an abort would count as an unhandled rejection while `work` still runs.
  tx.done.catch(() => undefined);
  let result: T;
  try {
    result = await work(tx);
  } catch (error) {
    try {
      tx.abort();
    } catch {
      // It has ended already: its own error says more than that of the call it broke off.
      await tx.done;
    }
    throw error;
  }
  await tx.done;
  return result;
}

export async function getMeta<K extends keyof Meta>(tx: Transaction<IDBTransactionMode>, key: K): Promise<Meta[K] | undefined> {
  return (await tx.objectStore("meta").get(key)) as Meta[K] | undefined;
}

export async function putMeta<K extends keyof Meta>(tx: Transaction, key: K, value: Meta[K]): Promise<void> {
  await tx.objectStore("meta").put(value, key);
}
