/// <reference lib="webworker" />
/**
 * The service worker: keeps the app's own files for offline use, and nothing else. Each file is asked for with its hash, so
 * that a captive portal's page is never kept in place of the app, and each version of the app has a cache of its own.
 */

interface AppFile {
  url: string;
  integrity: string;
}
declare const self: ServiceWorkerGlobalScope & { __FILES__: AppFile[] };

/** Filled in by the build. */
const files = new Map<string, string>(self.__FILES__.map(({ url, integrity }) => [new URL(url, self.location.origin).pathname, integrity]));
/** The hashes of its files tell one version of the app from another. */
const CACHE = `roadproof ${[...files.values()].map((hash) => hash.slice(7, 15)).join("")}`;
const isHashed = (path: string) => path.startsWith("/assets/");
/** What the app starts with. The rest, drawn or worked out on demand, comes once the app is running. */
const isCore = (path: string) => !isHashed(path) || path.startsWith("/assets/app-");

self.addEventListener("install", (event) => event.waitUntil(install()));
self.addEventListener("activate", (event) => event.waitUntil(activate()));
self.addEventListener("message", (event) => {
  if (event.data === "take over") void self.skipWaiting();
  if (event.data === "bring the rest") event.waitUntil(bring(() => true));
  const { serves } = event.data as { serves?: string };
  if (serves) event.ports[0]?.postMessage(files.has(serves));
});
self.addEventListener("fetch", (event) => {
  const path = appFile(event.request);
  if (path !== undefined) event.respondWith(answer(path, event.request));
});

/** Refused while a ride is open: a worker left waiting would take over when the page is killed. */
async function install(): Promise<void> {
  await refuseDuringRide();
  // A newer app replaces one that was whole.
  await bring(self.registration.active ? () => true : isCore);
  await refuseDuringRide();
}

async function refuseDuringRide(): Promise<void> {
  // Without an app in place there is nothing to protect, and no other way to work offline.
  if (self.registration.active && (await rideIsOpen())) throw new Error("A ride is open: the update waits.");
}

async function activate(): Promise<void> {
  for (const name of await caches.keys()) if (name !== CACHE) await caches.delete(name);
  await self.clients.claim();
}

async function bring(wanted: (path: string) => boolean): Promise<void> {
  const cache = await caches.open(CACHE);
  await Promise.all([...files].filter(([path]) => wanted(path)).map(async ([path, integrity]) => {
    // A hashed name stands for one content, in an older version's cache too.
    const kept = isHashed(path) ? await caches.match(path) : await cache.match(path);
    await cache.put(path, kept ?? (await fetched(path, integrity)));
  }));
}

async function fetched(path: string, integrity: string): Promise<Response> {
  const answer = await fetch(path, { cache: isHashed(path) ? "default" : "reload", credentials: "same-origin", integrity });
  if (!answer.ok) throw new Error(`${path} answered ${answer.status}.`);
  return answer;
}

/** The path of a file that the app itself answers; undefined: the network's. */
function appFile(request: Request): string | undefined {
  const url = new URL(request.url);
  const ours = request.method === "GET" && url.origin === self.location.origin && files.has(url.pathname);
  return ours ? url.pathname : undefined;
}

/** From the cache; from the network what was not brought yet, or where the browser has dropped the cache alone. */
async function answer(path: string, request: Request): Promise<Response> {
  return (await caches.match(path, { cacheName: CACHE })) ?? fetch(request);
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

export {};
