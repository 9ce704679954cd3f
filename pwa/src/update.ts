/**
 * The app's own updates. A new version is taken at a start and before a ride, never during one: a worker that waits
 * would take over by itself when the page is killed, so none may be waiting while a ride is open.
 */
import { signal, type Signal } from "@preact/signals";

/** A newer app lies ready. */
export const updateReady: Signal<boolean> = signal(false);

const SETTLE_MS = 15_000;
let taking = false;

export async function registerWorker(): Promise<void> {
  if (!("serviceWorker" in navigator) || !import.meta.env.PROD) return;
  navigator.serviceWorker.addEventListener("controllerchange", () => {
    if (taking) location.reload();
  });
  const registration = await navigator.serviceWorker.register("/worker.js", { updateViaCache: "none" });
  const note = () => (updateReady.value = registration.waiting !== null && registration.active !== null);
  note();
  registration.addEventListener("updatefound", () => registration.installing?.addEventListener("statechange", note));
}

const registration = async () => ("serviceWorker" in navigator ? await navigator.serviceWorker.getRegistration() : undefined);

/** Looks for a newer app; quiet where there is no signal. */
export async function lookForUpdate(): Promise<void> {
  await (await registration())?.update().catch(() => undefined);
}

/** Waits until an installing worker has settled, then says whether one waits. */
export async function updateWaits(): Promise<boolean> {
  const found = await registration();
  if (!found?.active) return false;
  if (found.installing) await settled(found.installing);
  return found.waiting !== null;
}

function settled(worker: ServiceWorker): Promise<void> {
  return new Promise((resolve) => {
    const look = () => worker.state !== "installing" && resolve();
    worker.addEventListener("statechange", look);
    setTimeout(resolve, SETTLE_MS);
    look();
  });
}

/** Takes a waiting update: the page is loaded anew by it. Does not resolve where there is one. */
export async function takeUpdate(): Promise<void> {
  const waiting = (await registration())?.waiting;
  if (!waiting) return;
  taking = true;
  waiting.postMessage("take over");
  await new Promise(() => undefined);
}
