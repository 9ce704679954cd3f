/** A phone that can write nothing down still sends what it holds, and takes note of it once there is room. */
import { afterEach, beforeEach, describe, expect, test, vi } from "vitest";
import { faults, type FakeService } from "./fake_service";
import { amounts, offline, pairedPhone, range, trim, workOffline, type Page } from "./phone";

let service: FakeService;
let page: Page;
beforeEach(async () => ({ service, page } = await pairedPhone()));
afterEach(async () => {
  vi.restoreAllMocks();
  await page.book.sendNow();
});

const stores = (globalThis as any).IDBObjectStore.prototype;
function fill(): void {
  for (const name of ["put", "add"]) {
    vi.spyOn(stores, name).mockImplementation(() => { throw new DOMException("full", "QuotaExceededError"); });
  }
}
async function makeRoom(): Promise<void> {
  vi.restoreAllMocks();
  await page.book.sendNow();
}

describe("a full phone", () => {
  test("works with a newer catalogue that it cannot keep", async () => {
    const newer = { version: "newer", quantities: [] };
    service.fault = (seen) => (seen.path === "/catalogue" ? () => Response.json(newer) : undefined);
    fill();
    await page.book.refreshCatalogue();
    expect(page.book.catalogue.value).toEqual(newer);
  });

  test("sends bikes, jobs and entries; with room again all is confirmed, and there once", async () => {
    const { bike } = await workOffline(service, page, 450);
    fill();
    await page.book.sendNow();
    expect(amounts(service)).toEqual(range(450));
    expect(page.book.pending.value.count).toBe(452);
    expect(page.book.lastProblem.value).toContain("storage is full");
    expect(page.book.signalState.value).toBe("online");
    await makeRoom();
    expect(page.book.pending.value).toMatchObject({ count: 0, setAside: 0 });
    expect(page.book.lastProblem.value).toBeNull();
    expect(amounts(service)).toEqual(range(450));
    expect(service.rows.filter((row) => row.noun === "bike").map((row) => row.body.id)).toEqual([bike.id]);
  });

  test("sends what has to be brought onto another phone's version first", async () => {
    const { bike } = await workOffline(service, page, 1);
    await page.book.sendNow();
    await offline(service, page, () => page.book.putBike({ ...bike, frame_number: "F 1" }));
    service.write("bike", { ...bike, family: "family", serials: ["S 1"] });
    fill();
    await page.book.sendNow();
    expect(service.of("bike", bike.id)!.body).toMatchObject({ frame_number: "F 1", serials: ["S 1"] });
    await makeRoom();
    expect(service.of("bike", bike.id)!.body).toMatchObject({ frame_number: "F 1", serials: ["S 1"] });
    expect(page.book.pending.value.count).toBe(0);
    expect(page.book.held.value).toEqual([]);
  });

  test("loses nothing that the service refuses: it is set aside once there is room", async () => {
    await workOffline(service, page, 9);
    service.judge = (entry) => (entry.data.amount === 5 ? { status: "rejected", problem: { title: "No" } } : undefined);
    const tooLarge = (seen: any) => seen.body?.entries?.some((entry: any) => entry.data.amount === 7);
    service.fault = (seen) => (tooLarge(seen) ? faults.status(413) : undefined);
    fill();
    await page.book.sendNow();
    expect(amounts(service)).toEqual([1, 2, 3, 4, 6, 8, 9]);
    expect(page.book.pending.value).toMatchObject({ count: 11, setAside: 0 });
    await makeRoom();
    expect(page.book.pending.value).toMatchObject({ count: 0, setAside: 2 });
    expect(amounts(service)).toEqual([1, 2, 3, 4, 6, 8, 9]);
  });

  test("sends no bike to a service of another life, whose numbers mean something else", async () => {
    const { bike } = await workOffline(service, page, 0);
    await page.book.sendNow();
    await offline(service, page, () => page.book.putBike({ ...bike, label: "Mine" }));
    const { seq } = service.of("bike", bike.id)!;
    service.restore([{ seq, noun: "bike", body: { ...bike, family: "family", label: "Theirs", seq } }]);
    service.seen = [];
    fill();
    await page.book.sendNow();
    expect(service.seen.filter(({ method }) => method !== "GET")).toEqual([]);
    await makeRoom();
    expect(page.book.held.value).toMatchObject([{ id: bike.id, clashes: [{ field: "label", mine: "Mine", theirs: "Theirs" }] }]);
  });

  test("whose clock was set sends nothing by the wrong clock", async () => {
    const { job } = await workOffline(service, page, 1);
    await page.book.sendNow();
    await offline(service, page, () => page.book.log(job.id, trim(2)));
    vi.useFakeTimers({ toFake: ["Date"], now: Date.now() + 86_400_000 });
    try {
      service.clockAhead = -86_400_000;
      service.seen = [];
      fill();
      await page.book.sendNow();
      expect(service.posts()).toEqual([]);
      await makeRoom();
      const [post] = service.posts();
      const ageThen = Date.parse(post!.body.sent_at) - Date.parse(post!.body.entries[0].taken_at);
      expect(Math.abs(ageThen)).toBeLessThan(60_000);
      expect(page.book.pending.value.count).toBe(0);
    } finally {
      vi.useRealTimers();
      service.clockAhead = 0;
    }
  });
});

test("a clock that stands as it did, with nothing saved since, makes no save wait", async () => {
  await workOffline(service, page, 1);
  await page.book.sendNow();
  const transaction = vi.spyOn((globalThis as any).IDBDatabase.prototype, "transaction");
  await page.book.sendNow();
  expect(transaction.mock.calls.map((given) => given[1])).not.toContain("readwrite");
});
