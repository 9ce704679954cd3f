/**
 * Photos go when all else has been sent, one at a time. They have a lock and a round of their own, so that one that is slow
 * or stuck never keeps an entry waiting; one under way gives the line back as soon as there is an entry to send.
 */
import { signal, type Signal } from "@preact/signals";
import { latest } from "../latest";
import type { ProblemBody } from "../nouns";
import { getMeta, read, type HeldPhoto } from "../store/database";
import { rememberHeld } from "../store/loss";
import * as store from "../store/photos";
import { backoff, retryAfter } from "./retry";
import { exchange, type Answer } from "./service";
import { alone, onOtherTab, tellTabs } from "./tabs";

/** 300 kB at 2 kB/s still get through. */
const TIMEOUT_MS = 3 * 60_000;
/** The service has understood, and will not take these bytes whenever they come. */
const REFUSALS = new Set([400, 413, 415, 422]);

export const photosHeld: Signal<store.PhotosHeld> = signal({ waiting: [], refused: [] });
/** Why the last one did not go through; null after one that did. */
export const photoProblem: Signal<ProblemBody | null> = signal(null);

/** All entries that can be sent have been: it is the photos' turn. */
let due = false;
let underWay: AbortController | null = null;
let timer: ReturnType<typeof setTimeout> | undefined;
let failures = 0;
let notBefore = 0;

export const countPhotos = latest(async () => {
  const { waiting, refused } = (photosHeld.value = await store.photosHeld());
  void rememberHeld({ photos: waiting.length + refused.length });
});
onOtherTab(() => void countPhotos());
void countPhotos().catch(() => undefined);

/** Called after each round of entries that went well. */
export function photosDue(): void {
  due = true;
  void sendPhotos();
}

/** Something has been written down: entries first. */
export function standBack(): void {
  due = false;
  underWay?.abort();
  void countPhotos();
}

/** Sends what waits. Resolves when no round is left to run. */
export const sendPhotos = latest(async () => {
  clearTimeout(timer);
  const wait = notBefore - performance.now();
  const again = wait > 0 ? wait : await alone("roadproof-photos", round).catch(() => backoff(++failures));
  if (again !== null) timer = setTimeout(() => void sendPhotos(), again);
});

/** One round; returns in how many ms the next is due, null for none. */
async function round(): Promise<number | null> {
  const [session, checked, epoch] = await read(["meta"], (tx) =>
    Promise.all([getMeta(tx, "session"), getMeta(tx, "shop_checked"), getMeta(tx, "epoch")]));
  // Nothing goes out before it is known that the shop is the one whose book this is.
  if (!session || checked !== session.token || epoch === undefined) return null;
  let again = false;
  // A phone that is full still sends, and notes it once there is room.
  const note = (writing: Promise<void>) => writing.catch(() => void (again = true));
  await note(store.offerPhotosAgain());
  await note(store.dropBackedUpPhotos());
  await countPhotos();
  const tried = new Set<string>();
  while (due) {
    const photo = await store.nextPhoto(tried);
    if (!photo) break;
    tried.add(photo.sha256);
    const answer = await send(photo, session.token);
    const taken = accepted(photo, answer.body);
    if (!taken && !due) return null;
    photoProblem.value = answer.problem;
    if (taken) await note(store.photoSent(photo.sha256, epoch, (answer.body as { seq: number }).seq));
    else if (answer.problem && REFUSALS.has(answer.status)) await note(store.photoRefused(photo.sha256, answer.problem));
    else if (answer.status === 409) again = true; // The bytes were changed on the way; the next photo may come through.
    else return failed(answer);
    await countPhotos();
    tellTabs();
  }
  failures = again ? failures + 1 : 0;
  return again ? Math.max(1000, backoff(failures)) : null;
}

async function send(photo: HeldPhoto, token: string): Promise<Answer> {
  const own = (underWay = new AbortController());
  const late = setTimeout(() => own.abort(), TIMEOUT_MS);
  try {
    return await exchange(`/photos/${photo.sha256}`, {
      method: "PUT",
      headers: { Accept: "application/json", Authorization: `Bearer ${token}`, "Content-Type": "image/jpeg" },
      body: photo.bytes,
      priority: "low",
      signal: own.signal,
    });
  } finally {
    clearTimeout(late);
    underWay = null;
  }
}

/** Is this the service's word for exactly this photo? Anything else confirms nothing. */
function accepted(photo: HeldPhoto, body: unknown): boolean {
  const { sha256, size, seq } = (body ?? {}) as { sha256?: unknown; size?: unknown; seq?: unknown };
  return sha256 === photo.sha256 && size === photo.bytes.byteLength && Number.isInteger(seq);
}

function failed(answer: Answer): number {
  const asked = retryAfter(answer.headers.get("Retry-After"), Date.now());
  if (asked !== null) notBefore = performance.now() + asked;
  return Math.max(1000, backoff(++failures), asked ?? 0);
}
