/** A phone under test: fresh modules over a database that outlives them, as a page over its browser's storage. */
import { IDBFactory } from "fake-indexeddb";
import "fake-indexeddb/auto";
import { v7 as uuid } from "uuid";
import { vi } from "vitest";
import type { BikeDraft, EntryDraft, JobDraft } from "../../src/nouns";
import { FakeService } from "./fake_service";

/** The browser throws away its databases. */
export function newStorage(): void {
  globalThis.indexedDB = new IDBFactory();
}

/** Web Locks of one browser: a page that is killed lets go of its own. */
class Locks {
  private held = new Map<string, Promise<unknown>>();
  closed = false;
  request(name: string, work: () => Promise<unknown>): Promise<unknown> {
    if (this.closed) return new Promise(() => undefined);
    const next = (this.held.get(name) ?? Promise.resolve()).then(work, work);
    this.held.set(name, next.catch(() => undefined));
    return next;
  }
}
let locks = new Locks();

/** Channels between the tabs that are open. */
let tabs = new Set<EventTarget>();
class Channel extends EventTarget {
  private readonly tabs = tabs.add(this);
  postMessage(data: unknown): void {
    for (const tab of this.tabs) if (tab !== this) setTimeout(() => tab.dispatchEvent(new MessageEvent("message", { data })));
  }
}

/** Loads the page anew after the one before was closed or killed; what is stored stays. */
export async function openPage() {
  locks.closed = true;
  locks = new Locks();
  tabs = new Set();
  return openTab();
}

/** One more tab beside those open. */
export async function openTab() {
  vi.resetModules();
  // Node has a navigator of its own from version 21 on.
  Object.defineProperty(globalThis, "navigator", { value: { locks, userAgent: "" }, configurable: true });
  Object.assign(globalThis, {
    BroadcastChannel: Channel,
    document: Object.assign(new EventTarget(), { visibilityState: "visible" }),
    window: new EventTarget(),
  });
  const [book, database, outbox, edits, sync, mirror] = await Promise.all([
    import("../../src/book"), import("../../src/store/database"), import("../../src/store/outbox"),
    import("../../src/store/edits"), import("../../src/sync/sync"), import("../../src/store/mirror"),
  ]);
  return { book, database, outbox, edits, sync, mirror };
}
export type Page = Awaited<ReturnType<typeof openPage>>;

function storageInMemory() {
  const kept = new Map<string, string>();
  return { getItem: (key: string) => kept.get(key) ?? null, setItem: (key: string, value: string) => void kept.set(key, value) };
}

/** A phone paired with a service, its page open and idle. */
export async function pairedPhone(): Promise<{ service: FakeService; page: Page }> {
  newStorage();
  Object.defineProperty(globalThis, "localStorage", { value: storageInMemory(), configurable: true });
  const service = new FakeService();
  service.install();
  const page = await openPage();
  await page.book.openBook();
  await page.book.pair("CODE", "Phone");
  await page.book.sendNow();
  service.seen = [];
  return { service, page };
}

export const bikeDraft = (more: Partial<BikeDraft> = {}): BikeDraft => ({
  id: uuid(), label: "Grey gravel bike", brakes: "disc", tyres: "tubeless",
  drivetrain: { rings: [46, 33], cogs: [10, 12, 14, 36], shifting: "electronic", rear_mount: "hanger", front_derailleur: true, suspension: false },
  ...more,
});
export const jobDraft = (bikeId: string, more: Partial<JobDraft> = {}): JobDraft => ({
  id: uuid(), bike_id: bikeId, kind: "build", opened_at: "2026-05-04T09:00:00+02:00", ...more,
});
export const trim = (amount: number): EntryDraft => ({
  kind: "adjustment", stage: "road", data: { adjuster: "rear_trim", amount, unit: "step" },
});

/** Without a signal, so that nothing is sent before the test says so; tries that `work` set off are waited for. */
export async function offline<T>(service: FakeService, page: Page, work: () => Promise<T>): Promise<T> {
  const before = service.fault;
  service.fault = () => () => { throw new TypeError("Failed to fetch"); };
  try {
    const result = await work();
    await page.book.sendNow();
    return result;
  } finally {
    service.fault = before;
  }
}

/** A bike with a job on this phone, and `n` entries in it; all made without a signal. */
export async function workOffline(service: FakeService, page: Page, n: number) {
  const bike = bikeDraft();
  const job = jobDraft(bike.id);
  await offline(service, page, async () => {
    await page.book.putBike(bike);
    await page.book.putJob(job);
    for (let i = 1; i <= n; i++) await page.book.log(job.id, trim(i));
  });
  return { bike, job };
}

export const amounts = (service: FakeService) => service.entries.map((entry) => entry.data.amount);
export const range = (n: number) => Array.from({ length: n }, (_, i) => i + 1);
