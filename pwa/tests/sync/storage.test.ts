import { afterEach, beforeEach, describe, expect, test, vi } from "vitest";
import type { FakeService } from "./fake_service";
import { amounts, bikeDraft, jobDraft, newStorage, offline, openPage, openTab, pairedPhone, range, trim, workOffline, type Page } from "./phone";

let service: FakeService;
let page: Page;
beforeEach(async () => ({ service, page } = await pairedPhone()));
afterEach(async () => {
  vi.restoreAllMocks();
  // What this page still writes must not fall into the next test's storage.
  await page.book.sendNow();
  await new Promise((resolve) => setTimeout(resolve, 20));
});

const writing = () => (globalThis as any).IDBDatabase.prototype as IDBDatabase;

describe("writing", () => {
  test("is strictly durable, and a save resolves only after the transaction has completed", async () => {
    const { job } = await workOffline(service, page, 0);
    const options: (IDBTransactionOptions | undefined)[] = [];
    const completed: boolean[] = [];
    const transaction = writing().transaction;
    vi.spyOn(writing(), "transaction").mockImplementation(function (this: IDBDatabase, ...given) {
      const tx = transaction.apply(this, given);
      if (given[1] === "readwrite") {
        const at = options.push(given[2]) - 1;
        completed[at] = false;
        tx.addEventListener("complete", () => (completed[at] = true));
      }
      return tx;
    });
    await offline(service, page, async () => {
      await page.book.log(job.id, trim(1));
      expect(options[0]).toEqual({ durability: "strict" });
      expect(completed[0]).toBe(true);
    });
    expect(options.every((option) => option?.durability === "strict")).toBe(true);
  });

  test("that is aborted at commit is said not to be saved, and takes no number", async () => {
    const { job } = await workOffline(service, page, 1);
    const put = (globalThis as any).IDBObjectStore.prototype.put as IDBObjectStore["put"];
    const spy = vi.spyOn((globalThis as any).IDBObjectStore.prototype, "put").mockImplementation(function (this: any, ...given: any) {
      const request = put.apply(this, given);
      // Everything has been written; what fails is the commit.
      if (given[1] === "device") request.addEventListener("success", () => request.transaction!.abort());
      return request;
    });
    await expect(page.book.log(job.id, trim(2))).rejects.toThrow(/Not saved/);
    spy.mockRestore();
    await page.book.log(job.id, trim(3));
    await page.book.sendNow();
    expect(service.entries.map((entry) => [entry.device_seq, entry.data.amount])).toEqual([[1, 1], [2, 3]]);
  });

  test("on a full phone says so", async () => {
    const { job } = await workOffline(service, page, 1);
    vi.spyOn((globalThis as any).IDBObjectStore.prototype, "add").mockImplementation(() => {
      throw new DOMException("full", "QuotaExceededError");
    });
    await expect(page.book.log(job.id, trim(2))).rejects.toThrow(/storage is full/);
    expect(page.book.entriesOf(job.id).value.filter((row) => row.entry.device_seq === 2)).toEqual([]);
  });

  test("opens a lost connection again", async () => {
    const { job } = await workOffline(service, page, 1);
    let lose = true;
    const transaction = writing().transaction;
    vi.spyOn(writing(), "transaction").mockImplementation(function (this: IDBDatabase, ...given) {
      if (lose) {
        lose = false;
        this.close();
      }
      return transaction.apply(this, given);
    });
    await page.book.log(job.id, trim(2));
    await page.book.sendNow();
    expect(amounts(service)).toEqual([1, 2]);
  });
});

describe("device numbers", () => {
  test("have neither gaps nor twins over tabs that save at once", async () => {
    const { job } = await workOffline(service, page, 0);
    const other = await openTab();
    await other.book.openBook();
    await offline(service, page, () => Promise.all(range(20).map((n) => (n % 2 ? page : other).book.log(job.id, trim(n)))));
    await Promise.all([page.book.sendNow(), other.book.sendNow()]);
    expect(service.entries.map((entry) => entry.device_seq)).toEqual(range(20));
    expect(new Set(amounts(service))).toEqual(new Set(range(20)));
  });

  test("two tabs never have a batch under way at the same time", async () => {
    await workOffline(service, page, 10);
    const other = await openTab();
    await other.book.openBook();
    let [under, most] = [0, 0];
    service.fault = (seen) => seen.path !== "/entries" ? undefined : async (_, exchange) => {
      most = Math.max(most, ++under);
      await new Promise((resolve) => setTimeout(resolve, 30));
      under--;
      return exchange();
    };
    await Promise.all([page.book.sendNow(), other.book.sendNow()]);
    expect(most).toBe(1);
    expect(service.posts().filter(({ body }) => body.entries.length > 0)).toHaveLength(1);
    expect(amounts(service)).toEqual(range(10));
  });

  test("another tab sees what this one saves", async () => {
    const { job } = await workOffline(service, page, 1);
    const other = await openTab();
    await other.book.openBook();
    const rows = other.book.entriesOf(job.id);
    await page.book.log(job.id, trim(2));
    await expect.poll(() => rows.value.length).toBe(2);
  });
});

describe("undo and corrections", () => {
  test("undo is a void of the entry", async () => {
    const { job } = await workOffline(service, page, 1);
    const entry = (await page.outbox.queuedAfter(0, 1))[0]!.entry;
    const { entry: undone } = await page.book.undo(entry.id);
    expect(undone).toMatchObject({ kind: "void", replaces: entry.id, job_id: job.id, data: {} });
  });

  test("a correction keeps the place of what it corrects", async () => {
    const { job } = await workOffline(service, page, 1);
    const entry = (await page.outbox.queuedAfter(0, 1))[0]!.entry;
    const corrected = await page.book.log(job.id, { ...trim(5), replaces: entry.id });
    expect(corrected.entry.taken_at).toBe(entry.taken_at);
  });

  test("times carry the phone's own offset, and what is left out is not sent as null", async () => {
    const { job } = await workOffline(service, page, 0);
    const { entry } = await page.book.log(job.id, { ...trim(1), note: undefined });
    expect(entry.taken_at).toMatch(/^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}[+-]\d\d:\d\d$/);
    expect("note" in entry).toBe(false);
    expect(entry.by).toBe(page.book.session.value!.personId);
  });
});

describe("storage thrown away by the browser", () => {
  test("is told plainly, with how much was not sent", async () => {
    await workOffline(service, page, 3);
    await vi.waitFor(() => expect(JSON.parse(localStorage.getItem("roadproof")!).held).toBe(5));
    newStorage();
    const again = await openPage();
    await again.book.openBook();
    const lost = { held: 5, edits: 2, photos: 0 };
    await vi.waitFor(() => expect(again.book.lost.value).toEqual(lost));
    const once_more = await openPage();
    await once_more.book.openBook();
    await vi.waitFor(() => expect(once_more.book.lost.value).toEqual(lost));
    await once_more.book.seenLoss();
    const later = await openPage();
    await later.book.openBook();
    expect(later.book.lost.value).toBeNull();
  });

  test("with nothing unsent says nothing", async () => {
    await workOffline(service, page, 3);
    await page.book.sendNow();
    await vi.waitFor(() => expect(JSON.parse(localStorage.getItem("roadproof")!).held).toBe(0));
    newStorage();
    const again = await openPage();
    await again.book.openBook();
    await again.book.sendNow();
    expect(again.book.lost.value).toBeNull();
  });
});

describe("the ride", () => {
  test("is kept with its marks over a reload and closed once", async () => {
    const { job } = await workOffline(service, page, 0);
    await page.book.openRide(job.id);
    await page.book.markMoment();
    await page.book.markMoment();
    const again = await openPage();
    await offline(service, again, () => again.book.openBook());
    expect(again.book.ride.value).toMatchObject({ jobId: job.id });
    expect(again.book.ride.value!.marks).toHaveLength(2);
    await again.book.dropMark(again.book.ride.value!.marks[0]!.at);
    expect(again.book.ride.value!.marks.length).toBeLessThan(2);
    await again.book.closeRide();
    expect(again.book.ride.value).toBeNull();
  });
});

describe("emptying the phone", () => {
  test("is refused while anything was not sent, and keeps the device", async () => {
    const { bike } = await workOffline(service, page, 1);
    const { emptyPhone } = await import("../../src/store/empty");
    await expect(emptyPhone()).rejects.toThrow(/not sent/);
    await page.book.sendNow();
    const device = page.book.session.value!.deviceId;
    const begun = await page.database.write(["meta"], (tx) => tx.objectStore("meta").put([], "begun noise"));
    await expect(emptyPhone()).rejects.toThrow(/begun/);
    await page.database.write(["meta"], (tx) => tx.objectStore("meta").delete(begun));
    await emptyPhone();
    page = await openPage();
    await page.book.openBook();
    expect(page.book.session.value).toBeNull();
    expect(page.book.bikes.value).toEqual([]);
    await page.book.pair("CODE", "Phone");
    expect(page.book.session.value!.deviceId).toBe(device);
    await page.book.sendNow();
    expect(page.book.bikeById(bike.id)).toBeDefined();
  });
});

test("a job of a bike is listed newest first", async () => {
  const bike = bikeDraft();
  await page.book.putBike(bike);
  const old = jobDraft(bike.id, { opened_at: "2025-01-01T10:00:00Z" });
  const young = jobDraft(bike.id, { opened_at: "2026-01-01T10:00:00Z" });
  await page.book.putJob(old);
  await page.book.putJob(young);
  expect(page.book.jobsOf(bike.id).map((job) => job.id)).toEqual([young.id, old.id]);
});
