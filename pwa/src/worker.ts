/// <reference lib="webworker" />
import { PrecacheController } from "workbox-precaching";

declare const self: ServiceWorkerGlobalScope & { __WB_MANIFEST: { url: string; revision: string | null; integrity?: string }[] };

const precache = new PrecacheController();
precache.addToCacheList(self.__WB_MANIFEST);
self.addEventListener("install", (event) => void precache.install(event));
self.addEventListener("activate", (event) => void precache.activate(event));
