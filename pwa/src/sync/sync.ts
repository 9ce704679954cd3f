/** When to sync: one round at a time over all tabs, tried again until all is sent and read. */
import { computed, signal, type ReadonlySignal, type Signal } from "@preact/signals";
import type { SignalState } from "../book";
import { latest } from "../latest";
import { whyUnwritten } from "../problem";
import { getMeta, read, write, type Meta } from "../store/database";
import type { Changed } from "../store/shown";
import { pullAll, pullPage } from "./pull";
import { backoff, retryAfter } from "./retry";
import { sendAll } from "./send";
import { call, Halt, NOT_OURS, NOTHING, notOurs, type Answer } from "./service";
import { alone } from "./tabs";

const POLL_MS = 60_000;
const MOST_ROUNDS = 4;

export const signalState: Signal<SignalState> = signal("online");
/** The last problem in the service's own words; null after a round that went well. */
export const lastProblem: Signal<string | null> = signal(null);
/** There is a network, but not the service's answer: a log-in page, or an error page of something in between. */
export const otherAnswers: ReadonlySignal<boolean> = computed(() => signalState.value === "no_signal" && lastProblem.value === NOT_OURS.detail);

export interface Hooks {
  /** The database has changed; resolves when the screens know. */
  changed: (jobIds?: Iterable<string>) => Promise<void>;
  underWay: (ids: string[]) => void;
  /** The service has said that this app is too old. */
  tooOld: () => void;
  /** All that can be sent now has been. */
  allSent: () => void;
}

let hooks: Hooks;
let timer: ReturnType<typeof setTimeout> | undefined;
let failures = 0;
/** By the time this page has been open: the phone's clock may be set. */
let notBefore = 0;
/** Until the screens show what the last exchange has changed. */
let shown: Promise<void> = Promise.resolve();
// Screens that cannot read now must not end the syncing.
const changed: Changed = (jobIds) => void (shown = hooks.changed(jobIds).catch(() => undefined));

/** Starts syncing: now, on becoming visible, when the network returns, and by its own timer. */
export function startSync(own: Hooks): void {
  hooks = own;
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "visible") void syncNow();
  });
  window.addEventListener("online", () => void syncNow());
  window.addEventListener("offline", () => {
    signalState.value = "no_signal";
    lastProblem.value = NOTHING.detail!;
  });
  void syncNow();
}

/** Asks for a round; one that is under way is followed by another. Resolves when no round is left to run. */
export const syncNow = latest(async () => {
  clearTimeout(timer);
  const wait = notBefore - performance.now();
  if (wait > 0) return plan(wait);
  const again = await alone("roadproof-sync", oneRound);
  await shown;
  if (again !== null) plan(again);
});

function plan(ms: number): void {
  clearTimeout(timer);
  timer = setTimeout(() => void syncNow(), ms);
}

/** One round; returns in how many ms the next is due, null for none. */
async function oneRound(): Promise<number | null> {
  try {
    const session = await read(["meta"], (tx) => getMeta(tx, "session"));
    if (!session) {
      // Unpaired in another tab, or the storage was cleared under this page: the screens are to know.
      changed();
      return null;
    }
    const { again, problem } = await exchange(session);
    signalState.value = "online";
    lastProblem.value = problem;
    hooks.allSent();
    failures = again ? failures + 1 : 0;
    return again ? Math.max(backoff(failures), 1000) : document.visibilityState === "visible" ? POLL_MS : null;
  } catch (error) {
    if (error instanceof OtherShop) signalState.value = "other_shop";
    if (!(error instanceof Halt)) lastProblem.value = error instanceof OtherShop ? null : notNoted(error);
    return afterFailure(error instanceof Halt ? error.answer : null);
  }
}

const notNoted = (error: unknown) => `The service's answer is not noted: ${whyUnwritten(error)}`;

function afterFailure(answer: Answer | null): number {
  failures++;
  const asked = answer ? retryAfter(answer.headers.get("Retry-After"), Date.now()) : null;
  if (asked !== null) notBefore = performance.now() + asked;
  if (answer) {
    signalState.value = stateFor(answer.status);
    lastProblem.value = answer.problem?.detail ?? answer.problem?.title ?? null;
    if (answer.status === 426) hooks.tooOld();
  }
  return Math.max(backoff(failures), asked ?? 0);
}

function stateFor(status: number): SignalState {
  // A 413 that comes as far as here is not the service's.
  if (status === 0 || status === 413) return "no_signal";
  if (status === 401) return "revoked";
  return status === 426 ? "too_old" : "busy";
}

/** Says whether the service is to have something again later, and what this phone could not write down. */
async function exchange({ token }: Meta["session"]): Promise<{ again: boolean; problem: string | null }> {
  await knowShop(token);
  let problem: string | null = null;
  const unwritten = (error: unknown) => void (problem = notNoted(error));
  const own = { token, changed, underWay: hooks.underWay, unwritten };
  for (let round = 1; ; round++) {
    const before = await epochNow();
    const more = await pullPage(own);
    // After a restore the feed comes first: it tells which bikes and jobs have to be offered again.
    if (more && before !== undefined && (await epochNow()) !== before) await pullAll(own);
    const started = await epochNow();
    const again = await sendAll(own);
    const offered = await pullAll(own);
    if ((!offered && (await epochNow()) === started) || round === MOST_ROUNDS) return { again: again || offered || !!problem, problem };
  }
}

const epochNow = () => read(["meta"], (tx) => getMeta(tx, "epoch"));

/** A new pairing must be with the shop whose book this phone holds, before anything of it is sent. */
async function knowShop(token: string): Promise<void> {
  const [shop, checked] = await read(["meta"], (tx) => Promise.all([getMeta(tx, "shop"), getMeta(tx, "shop_checked")]));
  if (shop && checked === token) return;
  const answer = await call({ method: "GET", path: "/me", token });
  if (answer.problem) throw new Halt(answer);
  const found = (answer.body as { shop_id?: unknown } | null)?.shop_id;
  if (typeof found !== "string") throw notOurs();
  if (shop && shop !== found) throw new OtherShop();
  await write(["meta"], async (tx) => {
    await tx.objectStore("meta").put(found, "shop");
    await tx.objectStore("meta").put(token, "shop_checked");
  });
}

/** This phone holds another shop's book: nothing of it may go to the shop it was now paired with. */
class OtherShop extends Error {}
