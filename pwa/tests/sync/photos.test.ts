import { createHash } from "node:crypto";
import { afterEach, beforeEach, describe, expect, test, vi } from "vitest";
import type { NewPhoto } from "../../src/store/database";
import { faults, problem, type FakeService } from "./fake_service";
import { amounts, newStorage, offline, openPage, pairedPhone, trim, workOffline, type Page } from "./phone";

let service: FakeService;
let page: Page;
let job: string;
beforeEach(async () => {
  ({ service, page } = await pairedPhone());
  job = (await workOffline(service, page, 0)).job.id;
});
afterEach(async () => {
  vi.restoreAllMocks();
  service.fault = () => undefined;
  await page.book.sendNow();
  await sync().then((photos) => photos.sendPhotos());
});

const sync = () => import("../../src/sync/photos");
const held = () => page.database.read(["photos"], (tx) => tx.objectStore("photos").getAll());
const puts = () => service.seen.filter(({ path }) => path.startsWith("/photos/"));
const onPhotos = (fault: FakeService["fault"]) => (service.fault = (seen) => (seen.path.startsWith("/photos/") ? fault(seen) : undefined));

function photo(of = 1): NewPhoto {
  const bytes = new Uint8Array([0xff, 0xd8, 0xff, of]);
  return { sha256: createHash("sha256").update(bytes).digest("hex"), bytes: bytes.buffer };
}

describe("a photo", () => {
  test("is on the disk with its entry, which names it, before either is confirmed", async () => {
    await offline(service, page, async () => {
      const kept = await page.book.log(job, trim(1), [photo(), photo(2), photo()]);
      expect(kept.entry.photos).toEqual([photo().sha256, photo(2).sha256]);
    });
    expect((await held()).map(({ state }) => state)).toEqual(["queued", "queued"]);
    page = await openPage();
    await offline(service, page, () => page.book.openBook());
    expect(await held()).toHaveLength(2);
  });

  test("and its entry are written in one transaction: neither is there without the other", async () => {
    const add = (globalThis as any).IDBObjectStore.prototype.add as IDBObjectStore["add"];
    const spy = vi.spyOn((globalThis as any).IDBObjectStore.prototype, "add").mockImplementation(function (this: any, ...given: any) {
      if (this.name === "photos") throw new DOMException("full", "QuotaExceededError");
      return add.apply(this, given);
    });
    await expect(page.book.log(job, trim(1), [photo()])).rejects.toThrow(/storage is full/);
    spy.mockRestore();
    expect(await held()).toEqual([]);
    expect(page.book.entriesOf(job).value).toEqual([]);
    await page.book.log(job, trim(2));
    await page.book.sendNow();
    expect(service.entries.map((entry) => [entry.device_seq, entry.data.amount])).toEqual([[1, 2]]);
  });

  test("goes after the entries", async () => {
    await offline(service, page, async () => {
      await page.book.log(job, trim(1), [photo(1), photo(2)]);
      await page.book.log(job, trim(2));
    });
    service.seen = [];
    await page.book.sendNow();
    await expect.poll(() => service.photos.size).toBe(2);
    const order = service.seen.map(({ path }) => path.split("/")[1]).filter((path) => path === "entries" || path === "photos");
    expect(order).toEqual(["entries", "photos", "photos"]);
    await expect.poll(async () => (await held()).map(({ state }) => state)).toEqual(["sent", "sent"]);
    expect((await sync()).photosHeld.value).toEqual({ waiting: [], refused: [] });
  });

  test("that hangs keeps no entry waiting, and goes through afterwards", async () => {
    onPhotos(() => (puts().length === 1 ? () => new Promise<Response>(() => undefined) : undefined));
    await page.book.log(job, trim(1), [photo()]);
    await expect.poll(() => puts().length).toBe(1);
    expect((await sync()).photosHeld.value.waiting).toHaveLength(1);
    await page.book.log(job, trim(2));
    await page.book.sendNow();
    expect(amounts(service)).toEqual([1, 2]);
    await expect.poll(() => service.photos.size).toBe(1);
  });

  test("goes out from a full phone too, and the next one after it", async () => {
    await offline(service, page, () => page.book.log(job, trim(1), [photo(1), photo(2)]));
    const put = vi.spyOn((globalThis as any).IDBObjectStore.prototype, "put").mockImplementation(() => {
      throw new DOMException("full", "QuotaExceededError");
    });
    await page.book.sendNow();
    await expect.poll(() => service.photos.size).toBe(2);
    expect((await held()).map(({ state }) => state)).toEqual(["queued", "queued"]);
    put.mockRestore();
    await page.book.sendNow();
    await expect.poll(async () => (await held()).map(({ state }) => state)).toEqual(["sent", "sent"]);
  });

  test("that hangs does not hold up a round that nobody has asked for either", async () => {
    onPhotos(() => () => new Promise<Response>(() => undefined));
    await page.book.log(job, trim(1), [photo()]);
    await expect.poll(() => puts().length).toBe(1);
    service.seen = [];
    await page.book.sendNow();
    expect(service.seen.map(({ path }) => path.split("?")[0])).toContain("/changes");
    expect(puts()).toEqual([]);
    (await sync()).standBack();
  });

  test("survives a page killed while it was sent", async () => {
    onPhotos(() => () => new Promise<Response>(() => undefined));
    await page.book.log(job, trim(1), [photo()]);
    await expect.poll(() => puts().length).toBe(1);
    service.fault = () => undefined;
    page = await openPage();
    await page.book.openBook();
    await expect.poll(() => service.photos.size).toBe(1);
  });

  test.each([
    ["no signal", faults.noSignal], ["an answer lost", faults.answerLost], ["a portal's page", faults.portal], ["503", faults.busy(0)],
    ["500", faults.status(500)], ["401", faults.status(401)], ["426", faults.status(426)], ["429", faults.status(429)],
    ["bytes changed on the way", faults.status(409)],
    ["an answer for another photo", () => new Response('{"sha256": "00", "size": 4, "seq": 1}', { headers: { "Content-Type": "application/json" } })],
  ])("is kept and offered again after %s", async (_, fault) => {
    onPhotos(() => fault);
    await page.book.log(job, trim(1), [photo()]);
    await expect.poll(() => puts().length).toBe(1);
    expect((await held()).map(({ state }) => state)).toEqual(["queued"]);
    service.fault = () => undefined;
    await page.book.sendNow();
    await expect.poll(async () => (await held()).map(({ state }) => state), { timeout: 5000 }).toEqual(["sent"]);
    expect(service.photos.size).toBe(1);
  });

  test.each([413, 415, 422])("refused with %d is kept, told, and lets the next one through", async (status) => {
    onPhotos((seen) => (seen.path.endsWith(photo(1).sha256) ? () => problem(status, { detail: "Not this one." }) : undefined));
    await page.book.log(job, trim(1), [photo(1), photo(2)]);
    await expect.poll(() => service.photos.size).toBe(1);
    await expect.poll(async () => (await sync()).photosHeld.value).toEqual({ waiting: [], refused: [photo(1).sha256] });
    const refused = (await held()).find(({ state }) => state === "refused");
    expect(refused).toMatchObject({ sha256: photo(1).sha256, problem: { detail: "Not this one." } });
    await page.book.sendNow();
    expect(puts()).toHaveLength(2);
  });

  test("is not sent to another shop", async () => {
    await offline(service, page, () => page.book.log(job, trim(1), [photo()]));
    service.shop = "another";
    await page.book.pair("CODE", "Phone");
    const photos = await sync();
    photos.photosDue();
    await photos.sendPhotos();
    expect(puts()).toEqual([]);
  });

  test("keeps a phone from being emptied until it is sent", async () => {
    onPhotos(() => faults.status(500));
    await page.book.log(job, trim(1), [photo()]);
    await page.book.sendNow();
    const { emptyPhone } = await import("../../src/store/empty");
    await expect(emptyPhone()).rejects.toThrow(/not sent/);
    service.fault = () => undefined;
    await page.book.sendNow();
    await expect.poll(() => service.photos.size).toBe(1);
    await expect.poll(async () => (await held()).map(({ state }) => state)).toEqual(["sent"]);
    await emptyPhone();
    expect(await held()).toEqual([]);
  });

  test("lost with the storage before it was sent is told, without a signal all the while", async () => {
    await page.book.sendNow();
    page = await openPage();
    await offline(service, page, async () => {
      await page.book.openBook();
      await page.book.log(job, trim(1), [photo(1), photo(2)]);
      await vi.waitFor(() => expect(JSON.parse(localStorage.getItem("roadproof")!)).toMatchObject({ held: 1, photos: 2 }));
    });
    newStorage();
    page = await openPage();
    await page.book.openBook();
    expect(page.book.lost.value).toEqual({ held: 1, edits: 0, photos: 2 });
    await page.book.seenLoss();
    expect(page.book.lost.value).toBeNull();
  });

  test("that was sent is no loss", async () => {
    await page.book.log(job, trim(1), [photo()]);
    await page.book.sendNow();
    await vi.waitFor(() => expect(JSON.parse(localStorage.getItem("roadproof")!)).toMatchObject({ held: 0, photos: 0 }));
    newStorage();
    page = await openPage();
    await page.book.openBook();
    expect(page.book.lost.value).toBeNull();
  });
});

describe("photos that were sent", () => {
  async function sent(n: number): Promise<void> {
    await page.book.log(job, trim(n), [photo(n)]);
    await page.book.sendNow();
    await expect.poll(() => service.photos.size).toBe(n);
    await expect.poll(async () => (await held()).every(({ state }) => state === "sent")).toBe(true);
  }

  test("are offered again by a phone that sees a new epoch", async () => {
    await sent(1);
    service.restore(service.backup());
    service.photos.clear();
    await page.book.sendNow();
    await expect.poll(() => service.photos.size).toBe(1);
    await expect.poll(async () => (await held())[0]).toMatchObject({ state: "sent", epoch: service.epoch });
  });

  test("stay until a backup holds something that was numbered after them, and the newest stay longer", async () => {
    const { CACHED } = await import("../../src/store/photos");
    const all = CACHED + 3;
    for (let n = 1; n <= all; n++) await sent(n);
    // The backup surely holds all before this one, which may have come just after it.
    const edge = await page.database.read(["photos"], (tx) => tx.objectStore("photos").get(photo(CACHED + 2).sha256));
    service.backedUpTo = edge!.seq!;
    const keep = async () => {
      await page.book.log(job, trim(0));
      await page.book.sendNow();
      await (await sync()).sendPhotos();
      return (await held()).length;
    };
    expect(await keep()).toBe(all - 1);
    service.backedUpTo = 1000;
    expect(await keep()).toBe(CACHED);
    expect((await held()).some(({ sha256 }) => sha256 === photo(all).sha256)).toBe(true);
    expect((await held()).some(({ sha256 }) => sha256 === photo(1).sha256)).toBe(false);
  });
});

test("a database of version 1 keeps all it holds when photos get their place", async () => {
  newStorage();
  const opening = indexedDB.open("roadproof", 1);
  const entry = { device_seq: 7, id: "e", job_id: "j", state: "queued", saved_at: 1, entry: { kind: "remark", taken_at: "2026-05-04T09:00:00Z" } };
  await new Promise<void>((resolve) => {
    opening.onupgradeneeded = () => {
      // As the first version made it.
      const db = opening.result;
      const meta = db.createObjectStore("meta");
      meta.put({ id: "d", next_seq: 8 }, "device");
      meta.put("epoch", "epoch");
      const outbox = db.createObjectStore("outbox", { keyPath: "device_seq" });
      outbox.createIndex("id", "id", { unique: true });
      outbox.createIndex("job", "job_id");
      outbox.createIndex("state", ["state", "device_seq"]);
      outbox.createIndex("state_job", ["state", "job_id"]);
      outbox.put(entry);
      db.createObjectStore("edits", { keyPath: ["noun", "id"] }).createIndex("state", "state");
      db.createObjectStore("bikes", { keyPath: "id" }).put({ id: "b", epoch: "epoch", body: { id: "b", label: "B" } });
      db.createObjectStore("jobs", { keyPath: "id" }).put({ id: "j", epoch: "epoch", body: { id: "j", bike_id: "b", opened_at: "2026-05-04T09:00:00+02:00" } });
      db.createObjectStore("entries", { keyPath: "id" }).createIndex("job", "job_id");
    };
    opening.onsuccess = () => {
      opening.result.close();
      resolve();
    };
  });
  page = await openPage();
  const found = await page.database.read(["meta", "outbox", "bikes", "jobs"], (tx) => Promise.all([
    tx.objectStore("meta").get("device"), tx.objectStore("meta").get("epoch"), tx.objectStore("outbox").index("state_job").get(["queued", "j"]),
    tx.objectStore("bikes").count(), tx.objectStore("jobs").count(),
  ]));
  expect(found).toEqual([{ id: "d", next_seq: 8 }, "epoch", entry, 1, 1]);
  const held = await page.outbox.addEntry("j", trim(1), null, undefined, [photo()]);
  expect(held.device_seq).toBe(8);
  expect(await page.database.read(["photos"], (tx) => tx.objectStore("photos").count())).toBe(1);
  await offline(service, page, () => page.book.openBook());
});
