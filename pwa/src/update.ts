/**
 * The app's own updates. A new version is taken at a start and before a ride, never during one: a worker that waits
 * would take over by itself when the page is killed, so none may be waiting while a ride is open.
 */
import { signal, type Signal } from "@preact/signals";

/** A newer app lies ready. */
export const updateReady: Signal<boolean> = signal(false);

const STARTING_MS = 10_000;
const ANSWER_MS = 2_000;
const TAKING_MS = 4_000;
/** The first load is over by then; what is brought now holds up nothing. */
const REST_MS = 5_000;
let taking = false;

/** Registers the worker; `busy` says whether the page must not be loaded anew now. */
export async function registerWorker(busy: () => boolean): Promise<void> {
  if (!("serviceWorker" in navigator) || !import.meta.env.PROD) return;
  followWorker(busy);
  if ((await overtaken()) && !busy()) return reloadOnce();
  const registration = await navigator.serviceWorker.register("/worker.js", { updateViaCache: "none" });
  const note = () => (updateReady.value = registration.waiting !== null && registration.active !== null);
  note();
  void navigator.serviceWorker.ready.then(({ active }) => setTimeout(() => active?.postMessage("bring the rest"), REST_MS));
  registration.addEventListener("updatefound", () => registration.installing?.addEventListener("statechange", note));
}

/**
 * Whether another app than this one has taken over before this page could hear of it: the worker is asked if this script
 * is among its files. An old worker does not know the question.
 */
function overtaken(): Promise<boolean> {
  const worker = navigator.serviceWorker.controller;
  if (!worker) return Promise.resolve(false);
  return new Promise((resolve) => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = ({ data }) => resolve(data === false);
    setTimeout(() => resolve(false), ANSWER_MS);
    worker.postMessage({ serves: new URL(import.meta.url).pathname }, [port2]);
  });
}

/** Once for each script: where the worker's cache is gone, loading anew would not help. */
function reloadOnce(): void {
  const mark = "roadproof overtaken";
  if (sessionStorage.getItem(mark) === import.meta.url) return;
  sessionStorage.setItem(mark, import.meta.url);
  location.reload();
}

/** A page whose worker has been replaced runs an app whose files are gone: it is loaded anew as soon as that disturbs nobody. */
function followWorker(busy: () => boolean): void {
  let controlled = navigator.serviceWorker.controller !== null;
  let due = false;
  const reload = () => due && (taking || !busy()) && location.reload();
  navigator.serviceWorker.addEventListener("controllerchange", () => {
    due = controlled;
    controlled = true;
    if (taking || document.visibilityState === "hidden" || performance.now() < STARTING_MS) reload();
  });
  document.addEventListener("visibilitychange", reload);
  window.addEventListener("hashchange", reload);
}

const registration = async () => ("serviceWorker" in navigator ? await navigator.serviceWorker.getRegistration() : undefined);

/** Looks for a newer app; quiet where there is no signal. */
export async function lookForUpdate(): Promise<void> {
  await (await registration())?.update().catch(() => undefined);
}

export async function updateWaits(): Promise<boolean> {
  const found = await registration();
  return !!found?.active && found.waiting !== null;
}

/** Resolves once no worker is being installed. */
export async function installSettled(): Promise<void> {
  const worker = (await registration())?.installing;
  if (!worker) return;
  await new Promise<void>((resolve) => {
    const look = () => worker.state !== "installing" && resolve();
    worker.addEventListener("statechange", look);
    look();
  });
}

/**
 * Takes a waiting update: the page is loaded anew by it, and this does not resolve. It resolves where there is none, and
 * where the browser does not let it in for as long as the old worker is busy: then the work goes on with the app at hand.
 */
export async function takeUpdate(): Promise<void> {
  const waiting = (await registration())?.waiting;
  if (!waiting) return;
  taking = true;
  waiting.postMessage("take over");
  await new Promise((resolve) => setTimeout(resolve, TAKING_MS));
  taking = false;
}
