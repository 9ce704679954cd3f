import { beforeEach, describe, expect, test } from "vitest";
import type { FakeService } from "./fake_service";
import { amounts, offline, openPage, pairedPhone, range, trim, workOffline, type Page } from "./phone";

let service: FakeService;
let page: Page;
beforeEach(async () => ({ service, page } = await pairedPhone()));

const heldStates = async () =>
  page.database.read(["outbox"], async (tx) => (await tx.objectStore("outbox").getAll()).map((held) => held.state));

describe("confirmed entries", () => {
  test("are kept while nothing is said of a backup", async () => {
    await workOffline(service, page, 3);
    await page.book.sendNow();
    expect(await heldStates()).toEqual(["confirmed", "confirmed", "confirmed"]);
  });

  test("are dropped up to the number that a backup holds, and stay on the screen", async () => {
    const { job } = await workOffline(service, page, 3);
    await page.book.sendNow();
    service.backedUpTo = service.entries[1].seq;
    await page.book.log(job.id, trim(4));
    await page.book.sendNow();
    expect(await heldStates()).toEqual(["confirmed", "confirmed"]);
    const again = await openPage();
    await offline(service, again, () => again.book.openBook());
    const rows = again.book.entriesOf(job.id);
    await expect.poll(() => rows.value.map((row) => row.entry.data)).toHaveLength(4);
  });

  test("are not dropped for a number of an earlier epoch", async () => {
    await workOffline(service, page, 3);
    await page.book.sendNow();
    const rows = service.backup();
    service.restore(rows.filter((row) => row.noun !== "entry"));
    service.backedUpTo = 1000;
    service.fault = (seen) => (seen.path === "/entries" ? () => new Response("", { status: 500 }) : undefined);
    await page.book.sendNow();
    expect(await heldStates()).toEqual(["queued", "queued", "queued"]);
  });
});

describe("a service restored from an older backup", () => {
  test("is offered everything still held again, from a cursor of 0", async () => {
    const first = await workOffline(service, page, 2);
    await page.book.sendNow();
    const backup = service.backup();
    const second = await workOffline(service, page, 3);
    await offline(service, page, () => page.book.putBike({ ...first.bike, label: "After the backup" }));
    await page.book.sendNow();
    service.restore(backup);
    service.seen = [];
    await page.book.sendNow();
    expect(service.seen[1]?.path ?? "").toContain("after=0");
    expect(amounts(service).sort()).toEqual([1, 1, 2, 2, 3]);
    expect(service.of("bike", second.bike.id)).toBeDefined();
    expect(service.of("bike", first.bike.id)!.body.label).toBe("After the backup");
    expect(page.book.pending.value.count).toBe(0);
  });

  test("gets back bikes and jobs that only this phone's mirror knows", async () => {
    const { bike, job } = await workOffline(service, page, 1);
    await page.book.sendNow();
    service.backedUpTo = 1000;
    await page.book.log(job.id, trim(2));
    await page.book.sendNow();
    expect(await heldStates()).toEqual([]);
    service.backedUpTo = null;
    service.restore([]);
    await page.book.log(job.id, trim(3));
    await page.book.sendNow();
    expect(service.of("bike", bike.id)).toBeDefined();
    expect(service.of("job", job.id)).toBeDefined();
    expect(amounts(service)).toEqual([3]);
    expect(page.book.pending.value.count).toBe(0);
  });

  test("takes a bike edited twice since the backup as this phone has it", async () => {
    const { bike } = await workOffline(service, page, 0);
    await page.book.sendNow();
    const backup = service.backup();
    for (const label of ["Once", "Twice"]) {
      await page.book.putBike({ ...bike, label });
      await page.book.sendNow();
    }
    service.restore(backup);
    await page.book.sendNow();
    expect(page.book.held.value).toEqual([]);
    expect(service.of("bike", bike.id)!.body.label).toBe("Twice");
  });

  test("noticed in the middle of sending loses nothing", async () => {
    await workOffline(service, page, 250);
    const backup = service.backup();
    let posts = 0;
    service.fault = (seen) => {
      if (seen.path === "/entries" && ++posts === 2) service.restore(backup);
      return undefined;
    };
    await page.book.sendNow();
    await page.book.sendNow();
    expect(amounts(service).sort((a, b) => a - b)).toEqual(range(250));
    expect(page.book.pending.value.count).toBe(0);
  });
});

describe("the feed", () => {
  test("brings what others wrote, page by page, over a reload", async () => {
    const bike = service.write("bike", { id: "b1", label: "Their bike", family: "f", drivetrain: { rings: [1], cogs: [1] } });
    service.write("job", { id: "j1", bike_id: bike.body.id, kind: "service", opened_at: "2026-01-01T10:00:00Z", state: "open" });
    for (const n of range(1100)) {
      service.write("entry", { id: `e${n}`, job_id: "j1", device_seq: n, kind: "remark", stage: "bench", taken_at: "2026-01-01T10:00:00Z", data: { text: `${n}` } });
    }
    await page.book.sendNow();
    expect(page.book.bikes.value).toMatchObject([{ label: "Their bike" }]);
    const again = await openPage();
    await offline(service, again, () => again.book.openBook());
    const rows = again.book.entriesOf("j1");
    await expect.poll(() => rows.value.length).toBe(1100);
    expect(rows.value.map((row) => row.entry.device_seq)).toEqual(range(1100));
    expect(again.book.jobsOf("b1")).toMatchObject([{ state: "open" }]);
  });

  test("a lost page is read again from the same cursor", async () => {
    service.write("bike", { id: "b1", label: "Their bike", family: "f" });
    let lost = false;
    service.fault = (seen) => {
      if (!seen.path.startsWith("/changes") || lost) return undefined;
      lost = true;
      return (_, exchange) => { exchange(); throw new TypeError("Failed to fetch"); };
    };
    await page.book.sendNow();
    expect(page.book.bikes.value).toEqual([]);
    await page.book.sendNow();
    expect(page.book.bikes.value).toMatchObject([{ id: "b1" }]);
  });

  test("nouns of a newer service are passed over", async () => {
    service.write("wheelset" as never, { id: "w1" });
    service.write("bike", { id: "b1", label: "Their bike", family: "f" });
    await page.book.sendNow();
    expect(page.book.bikes.value).toMatchObject([{ id: "b1" }]);
  });
});
