/// <reference lib="webworker" />
/** The service worker: keeps the app's own files for offline use, and nothing else. */
import { PrecacheController } from "workbox-precaching";

declare const self: ServiceWorkerGlobalScope & {
  __WB_MANIFEST: { url: string; revision: string | null; integrity?: string }[];
};

const precache = new PrecacheController();
precache.addToCacheList(self.__WB_MANIFEST);

self.addEventListener("install", (event) => event.waitUntil(install(event)));
self.addEventListener("activate", (event) => event.waitUntil(activate(event)));
self.addEventListener("message", (event) => {
  if (event.data === "take over") void self.skipWaiting();
  const { serves } = event.data as { serves?: string };
  if (serves) event.ports[0]?.postMessage(precache.getCacheKeyForURL(serves) !== undefined);
});
self.addEventListener("fetch", (event) => {
  const url = appFile(event.request);
  if (url) event.respondWith(fromCache(url, event.request));
});

/** Refused while a ride is open: a worker left waiting would take over when the page is killed. */
async function install(event: ExtendableEvent): Promise<void> {
  await refuseDuringRide();
  await precache.install(event);
  await refuseDuringRide();
}

async function refuseDuringRide(): Promise<void> {
  // Without an app in place there is nothing to protect, and no other way to work offline.
  if (self.registration.active && (await rideIsOpen())) throw new Error("A ride is open: the update waits.");
}

async function activate(event: ExtendableEvent): Promise<void> {
  await precache.activate(event);
  await self.clients.claim();
}

/** The key of a request that the app itself answers; undefined: the network's. */
function appFile(request: Request): string | undefined {
  const url = new URL(request.url);
  if (request.method !== "GET" || url.origin !== self.location.origin) return undefined;
  if (request.mode === "navigate") return url.pathname === "/" ? precache.getCacheKeyForURL("/") : undefined;
  return precache.getCacheKeyForURL(url.pathname);
}

async function fromCache(key: string, request: Request): Promise<Response> {
  const cached = await (await caches.open(precache.strategy.cacheName)).match(key);
  // The browser may have dropped the cache alone.
  return cached ?? fetch(request);
}

/** Reads the flag without making the database: a missing one means that nothing was ever opened here. */
function rideIsOpen(): Promise<boolean> {
  return new Promise((resolve, reject) => {
    const opening = indexedDB.open("roadproof");
    opening.onupgradeneeded = () => opening.transaction?.abort();
    opening.onblocked = () => reject(new Error("The database is being upgraded."));
    opening.onerror = () => (opening.error?.name === "AbortError" ? resolve(false) : reject(opening.error));
    opening.onsuccess = () => {
      const db = opening.result;
      const asked = db.transaction("meta").objectStore("meta").get("ride");
      asked.onsuccess = () => resolve(asked.result !== undefined);
      asked.onerror = () => reject(asked.error);
      db.close();
    };
  });
}
