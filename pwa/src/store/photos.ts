/** Photos held on this phone: kept with their entry, sent after all entries, dropped once a backup of the service holds them. */
import type { IDBPIndex, IDBPObjectStore } from "idb";
import type { ProblemBody } from "../nouns";
import { getMeta, read, write, type HeldPhoto, type Schema, type Store, type Transaction } from "./database";

/** Of photos that a backup holds, so many stay here, the newest, to be looked at without a signal. */
export const CACHED = 40;
const ALL = (state: HeldPhoto["state"]) => IDBKeyRange.bound([state], [state, Infinity]);

export interface PhotosHeld {
  /** Hashes of those not sent yet, oldest first. */
  waiting: string[];
  /** Hashes of those the service will not take. */
  refused: string[];
}

export async function photosHeld(): Promise<PhotosHeld> {
  return read(["photos"], async (tx) => {
    const index = tx.objectStore("photos").index("state");
    return { waiting: await index.getAllKeys(ALL("queued")), refused: await index.getAllKeys(ALL("refused")) };
  });
}

export const findPhoto = (sha256: string): Promise<HeldPhoto | undefined> =>
  read(["photos"], (tx) => tx.objectStore("photos").get(sha256));

/** The oldest one queued that is not among `tried`. */
export async function nextPhoto(tried: ReadonlySet<string>): Promise<HeldPhoto | undefined> {
  return read(["photos"], async (tx) => {
    const photos = tx.objectStore("photos");
    const next = (await photos.index("state").getAllKeys(ALL("queued"))).find((sha256) => !tried.has(sha256));
    return next === undefined ? undefined : photos.get(next);
  });
}

/** The service has it. `epoch` is the life of the service this phone knew when it began to send. */
export async function photoSent(sha256: string, epoch: string, seq: number): Promise<void> {
  await change(sha256, ({ problem: _, ...photo }) => ({ ...photo, state: "sent", epoch, seq }));
}

/** The service will not take it as it is. It is kept. */
export async function photoRefused(sha256: string, problem: ProblemBody): Promise<void> {
  await change(sha256, (photo) => ({ ...photo, state: "refused", problem }));
}

async function change(sha256: string, how: (photo: HeldPhoto) => HeldPhoto): Promise<void> {
  await write(["photos"], async (tx) => {
    const photo = await tx.objectStore("photos").get(sha256);
    if (photo) await tx.objectStore("photos").put(how(photo));
  });
}

/** What the service had in an earlier life is offered again: a restored one may lack it. */
export async function offerPhotosAgain(): Promise<void> {
  await eachSent((index, epoch) => Promise.all([
    index.getAllKeys(IDBKeyRange.upperBound([epoch], true)), index.getAllKeys(IDBKeyRange.lowerBound([epoch, []])),
  ]).then((keys) => keys.flat()), async (photos, sha256) => {
    const { epoch: _, seq: __, ...photo } = (await photos.get(sha256))!;
    await photos.put({ ...photo, state: "queued" });
  });
}

/** Drops photos that a backup holds, but for the newest. One that was numbered like the backup may have come just after it. */
export async function dropBackedUpPhotos(): Promise<void> {
  await eachSent(async (index, epoch, backedUpTo) => {
    if (backedUpTo === undefined) return [];
    const held = await index.getAllKeys(IDBKeyRange.bound([epoch], [epoch, backedUpTo], false, true));
    return held.slice(0, Math.max(0, held.length - CACHED));
  }, (photos, sha256) => photos.delete(sha256));
}

type Photos<Mode extends IDBTransactionMode> = IDBPObjectStore<Schema, Store[], "photos", Mode>;
type Sent = IDBPIndex<Schema, Store[], "photos", "sent", "readonly" | "readwrite">;

/** Changes photos that were sent, found by their keys alone; mostly there are none, and nothing is written. */
async function eachSent(
  find: (index: Sent, epoch: string, backedUpTo: number | undefined) => Promise<string[]>,
  change: (photos: Photos<"readwrite">, sha256: string) => Promise<void>,
): Promise<void> {
  const found = async (tx: Transaction<"readonly" | "readwrite">) => {
    const [epoch, backedUpTo] = await Promise.all([getMeta(tx, "epoch"), getMeta(tx, "backed_up_to")]);
    return epoch === undefined ? [] : find(tx.objectStore("photos").index("sent") as Sent, epoch, backedUpTo);
  };
  if ((await read(["meta", "photos"], found)).length === 0) return;
  await write(["meta", "photos"], async (tx) => {
    for (const sha256 of await found(tx)) await change(tx.objectStore("photos"), sha256);
  });
}
