import { afterEach, beforeEach, describe, expect, test, vi } from "vitest";
import { faults, problem, type FakeService } from "./fake_service";
import { amounts, bikeDraft, jobDraft, offline, openPage, pairedPhone, range, trim, workOffline, type Page } from "./phone";

let service: FakeService;
let page: Page;
beforeEach(async () => ({ service, page } = await pairedPhone()));
afterEach(() => void vi.useRealTimers());

const once = (path: string, fault: (typeof faults)["noSignal"]) => {
  let used = false;
  service.fault = (seen) => {
    if (used || !seen.path.startsWith(path)) return undefined;
    used = true;
    return fault;
  };
};

describe("a whole job made without a signal", () => {
  test("bikes go first, then jobs, then entries in device order, each once", async () => {
    const { job } = await workOffline(service, page, 450);
    expect(page.book.pending.value.count).toBe(452);
    service.seen = [];
    await page.book.sendNow();
    expect(amounts(service)).toEqual(range(450));
    const writes = service.seen.filter((seen) => seen.method !== "GET").map((seen) => seen.path.split("/")[1]);
    expect(writes).toEqual(["bikes", "jobs", "entries", "entries", "entries"]);
    expect(page.book.pending.value.count).toBe(0);
    const states = page.book.entriesOf(job.id);
    await vi.waitFor(() => expect(states.value).toHaveLength(450));
    expect(new Set(states.value.map((row) => row.state))).toEqual(new Set(["confirmed"]));
  });

  test("is kept over a reload", async () => {
    await workOffline(service, page, 3);
    const again = await openPage();
    await offline(service, again, () => again.book.openBook());
    await vi.waitFor(() => expect(again.book.pending.value.count).toBe(5));
    expect(again.book.bikes.value.map((bike) => bike.label)).toEqual(["Grey gravel bike"]);
    await again.book.sendNow();
    expect(amounts(service)).toEqual([1, 2, 3]);
  });
});

describe("answers that confirm nothing", () => {
  test.each([
    ["no signal", faults.noSignal, "no_signal"],
    ["a captive portal's page", faults.portal, "no_signal"],
    ["JSON of another kind", () => Response.json({ ok: true }), "no_signal"],
    ["results for other entries", () => Response.json({ epoch: "e", server_time: "", results: [{ id: "x", status: "stored" }] }), "no_signal"],
    ["fewer results than entries", () => Response.json({ epoch: "e", server_time: "", results: [] }), "no_signal"],
    ["a fault of the service", faults.status(500), "busy"],
    ["a proxy's own error page", () => new Response("bad gateway", { status: 502, headers: { "Content-Type": "text/html" } }), "busy"],
    ["too many requests", faults.status(429), "busy"],
    ["a revoked token", faults.status(401), "revoked"],
    ["an app too old", faults.status(426), "too_old"],
  ] as const)("%s", async (_, fault, state) => {
    await workOffline(service, page, 3);
    once("/entries", fault as never);
    await page.book.sendNow();
    expect(page.book.signalState.value).toBe(state);
    expect(page.book.pending.value.count).toBe(3);
    expect(service.entries).toHaveLength(0);
    await page.book.sendNow();
    expect(amounts(service)).toEqual([1, 2, 3]);
  });

  test("an answer lost after the commit is asked for again and counts once", async () => {
    await workOffline(service, page, 3);
    once("/entries", faults.answerLost);
    await page.book.sendNow();
    expect(service.entries).toHaveLength(3);
    expect(page.book.pending.value.count).toBe(3);
    await page.book.sendNow();
    expect(amounts(service)).toEqual([1, 2, 3]);
    expect(page.book.pending.value.count).toBe(0);
  });

  test("a bike's answer lost after the commit makes no second bike", async () => {
    await workOffline(service, page, 1);
    once("/bikes", faults.answerLost);
    await page.book.sendNow();
    await page.book.sendNow();
    expect(service.rows.filter((row) => row.noun === "bike")).toHaveLength(1);
    expect(page.book.pending.value.count).toBe(0);
  });

  test("a page killed while sending sends the same again", async () => {
    await workOffline(service, page, 3);
    let killed = () => {};
    once("/entries", (_, exchange) => new Promise(() => { exchange(); killed(); }));
    await new Promise<void>((resolve) => { killed = resolve; void page.book.sendNow(); });
    const again = await openPage();
    await again.book.openBook();
    await again.book.sendNow();
    expect(amounts(service)).toEqual([1, 2, 3]);
    expect(service.posts()[1]?.body.entries).toEqual(service.posts()[0]?.body.entries);
  });
});

describe("a whole request refused", () => {
  test("413 halves the batch until it passes", async () => {
    await workOffline(service, page, 20);
    service.fault = (seen) => (seen.path === "/entries" && seen.body.entries.length > 6 ? faults.status(413) : undefined);
    await page.book.sendNow();
    expect(amounts(service)).toEqual(range(20));
    expect(service.posts().every(({ body }) => body.entries.length <= 20)).toBe(true);
  });

  test("one entry too large alone is set aside, the others pass", async () => {
    await workOffline(service, page, 9);
    service.fault = (seen) =>
      seen.path === "/entries" && seen.body.entries.some((e: any) => e.data.amount === 5) ? faults.status(413) : undefined;
    await page.book.sendNow();
    expect(amounts(service)).toEqual([1, 2, 3, 4, 6, 7, 8, 9]);
    expect(page.book.pending.value).toMatchObject({ count: 0, setAside: 1 });
  });

  test("a proxy's 413 halves the batch too, but sets nothing aside", async () => {
    await workOffline(service, page, 20);
    const proxys = new Response("too large", { status: 413, headers: { "Content-Type": "text/html" } });
    const tooMany = (most: number) => (seen: any) =>
      seen.path === "/entries" && seen.body.entries.length > most ? () => proxys.clone() : undefined;
    service.fault = tooMany(6);
    await page.book.sendNow();
    expect(amounts(service)).toEqual(range(20));
    service.fault = tooMany(0);
    await page.book.log(service.entries[0].job_id, trim(21));
    await page.book.sendNow();
    expect(page.book.pending.value).toMatchObject({ count: 1, setAside: 0 });
    expect(page.book.otherAnswers.value).toBe(true);
  });

  test.each([
    ["without its type, as some proxies pass it on", 415, {}],
    ["broken on the way", 400, {}],
    ["with a field of its envelope that an older service does not know", 422, { errors: [{ pointer: "/mood", detail: "unknown" }] }],
  ])("%s: no entry is to blame, and all wait", async (_, status, more) => {
    await workOffline(service, page, 9);
    service.fault = (seen) => (seen.path === "/entries" ? faults.status(status, more) : undefined);
    await page.book.sendNow();
    expect(page.book.pending.value).toMatchObject({ count: 9, setAside: 0 });
    expect(page.book.held.value).toEqual([]);
    service.fault = () => undefined;
    await page.book.sendNow();
    expect(amounts(service)).toEqual(range(9));
  });

  test.each([415, 400])("%i: no bike or job is to blame, and all wait", async (status) => {
    await workOffline(service, page, 9);
    service.fault = (seen) => (seen.method === "PUT" ? faults.status(status) : undefined);
    await page.book.sendNow();
    expect(page.book.pending.value).toMatchObject({ count: 11, setAside: 0 });
    expect(page.book.held.value).toEqual([]);
    service.fault = () => undefined;
    await page.book.sendNow();
    expect(amounts(service)).toEqual(range(9));
  });

  test("an entry that the service names as what it cannot read is set aside", async () => {
    await workOffline(service, page, 9);
    service.fault = (seen) => {
      const at = seen.path === "/entries" ? seen.body.entries.findIndex((e: any) => e.data.amount === 5) : -1;
      return at < 0 ? undefined : faults.status(422, { errors: [{ pointer: `/entries/${at}`, detail: "no object" }] });
    };
    await page.book.sendNow();
    expect(amounts(service)).toEqual([1, 2, 3, 4, 6, 7, 8, 9]);
    expect(page.book.pending.value).toMatchObject({ count: 0, setAside: 1 });
  });

  test("a network too slow for a whole batch gets smaller ones", async () => {
    await workOffline(service, page, 200);
    service.fault = (seen) => (seen.path === "/entries" && seen.body.entries.length > 30 ? faults.noSignal : undefined);
    for (let round = 0; round < 30 && page.book.pending.value.count; round++) await page.book.sendNow();
    expect(amounts(service)).toEqual(range(200));
    expect(page.book.pending.value.count).toBe(0);
  });

  test("a single entry that got no answer makes no later batch smaller", async () => {
    const { job } = await workOffline(service, page, 1);
    once("/entries", faults.noSignal);
    await page.book.sendNow();
    await offline(service, page, async () => {
      for (let i = 2; i <= 150; i++) await page.book.log(job.id, trim(i));
    });
    service.seen = [];
    await page.book.sendNow();
    expect(service.posts().map(({ body }) => body.entries.length)).toEqual([150]);
  });

  test("what was tried while the phone had no network makes no later batch smaller", async () => {
    await workOffline(service, page, 150);
    vi.stubGlobal("navigator", Object.create(navigator, { onLine: { value: false } }));
    once("/entries", faults.noSignal);
    await page.book.sendNow();
    vi.unstubAllGlobals();
    service.seen = [];
    await page.book.sendNow();
    expect(service.posts().map(({ body }) => body.entries.length)).toEqual([150]);
  });

  test("a batch stays under the limit of bytes", async () => {
    const { job } = await workOffline(service, page, 0);
    await offline(service, page, async () => {
      for (let i = 0; i < 40; i++) {
        await page.book.log(job.id, { kind: "remark", stage: "bench", data: { text: `${i} ${"ä".repeat(7000)}` } });
      }
    });
    await page.book.sendNow();
    expect(service.entries).toHaveLength(40);
    for (const { body } of service.posts()) expect(new Blob([JSON.stringify(body)]).size).toBeLessThan(256 * 1024);
  });
});

describe("one entry at fault", () => {
  describe("what replaces it", () => {
    const refuse400 = () => (service.judge = (entry) => (entry.data.amount === 400 ? { status: "rejected", problem: { title: "Too much" } } : undefined));
    /** One entry that the book has; what is corrected to 400 after it is refused. */
    const oneInTheBook = async () => {
      const { job } = await workOffline(service, page, 1);
      await page.book.sendNow();
      refuse400();
      return { job, first: service.entries[0] };
    };
    const correction = (amount: number, replaces: string) => ({ ...trim(amount), replaces });
    const standing = () => amounts(service).filter((_, i) => !service.entries.some((entry) => entry.replaces === service.entries[i].id));

    test.each([true, false])("takes its place, whether they are sent together: %s", async (together) => {
      const { job, first } = await oneInTheBook();
      await offline(service, page, async () => {
        const { entry: wrong } = await page.book.log(job.id, correction(400, first.id));
        if (!together) service.fault = () => undefined;
        if (!together) await page.book.sendNow();
        await page.book.log(job.id, correction(3, wrong.id));
      });
      for (let round = 0; round < 3; round++) await page.book.sendNow();
      expect(amounts(service)).toEqual([1, 3]);
      expect(standing()).toEqual([3]);
      expect(page.book.pending.value).toMatchObject({ count: 0, setAside: 0 });
      expect((await page.book.asideHeld()).map((row) => Boolean(row.fixedBy))).toEqual([true]);
    });

    test("an undo of it takes back what it was to correct", async () => {
      const { job, first } = await oneInTheBook();
      await offline(service, page, async () => {
        const { entry: wrong } = await page.book.log(job.id, correction(400, first.id));
        await page.book.undo(wrong.id);
      });
      for (let round = 0; round < 3; round++) await page.book.sendNow();
      expect(service.entries.map((entry) => [entry.kind, entry.replaces])).toEqual([["adjustment", undefined], ["void", first.id]]);
      expect(page.book.pending.value).toMatchObject({ count: 0, setAside: 0 });
    });

    test("an undo of one that stands alone is settled with it", async () => {
      const { job } = await workOffline(service, page, 1);
      refuse400();
      await offline(service, page, async () => {
        const { entry: wrong } = await page.book.log(job.id, trim(400));
        await page.book.undo(wrong.id);
      });
      for (let round = 0; round < 3; round++) await page.book.sendNow();
      expect(amounts(service)).toEqual([1]);
      expect(page.book.pending.value).toMatchObject({ count: 0, setAside: 0 });
      expect((await page.book.asideHeld()).map((row) => row.laidAside)).toEqual([true, true]);
    });
  });

  test("poison among 100 is set aside by itself, can be read, exported and fixed", async () => {
    const { job } = await workOffline(service, page, 100);
    service.judge = (entry) => (entry.data.amount === 50 ? { status: "rejected", problem: { title: "No", errors: [{ pointer: "/data/amount" }] } } : undefined);
    await page.book.sendNow();
    expect(amounts(service)).toEqual(range(100).filter((n) => n !== 50));
    expect(page.book.pending.value).toMatchObject({ count: 0, setAside: 1 });
    const rows = page.book.entriesOf(job.id);
    await vi.waitFor(() => expect(rows.value.find((row) => row.state === "set_aside")?.problem?.title).toBe("No"));
    const exported = JSON.parse(await (await page.book.exportSetAside()).text());
    expect(exported).toMatchObject([{ entry: { data: { amount: 50 } }, problem: { title: "No" } }]);
    const aside = rows.value.find((row) => row.state === "set_aside")!;
    page.book.puttingRight.value = aside.entry;
    await page.book.log(job.id, trim(51));
    await page.book.sendNow();
    expect(page.book.pending.value).toMatchObject({ count: 0, setAside: 0 });
    await vi.waitFor(() => expect(rows.value.find((row) => row.state === "set_aside")?.fixedBy).toBeDefined());
  });

  test("only the same thing puts it right, and what is laid aside for good is no longer counted", async () => {
    const { job } = await workOffline(service, page, 2);
    service.judge = () => ({ status: "rejected", problem: { title: "No", errors: [{ pointer: "/data/amount", detail: "No." }] } });
    await page.book.sendNow();
    service.judge = () => undefined;
    const [first, second] = await page.book.asideHeld();
    page.book.puttingRight.value = first!.entry;
    await page.book.log(job.id, { kind: "adjustment", stage: "road", data: { adjuster: "front_trim", amount: 1, unit: "step" } });
    expect(page.book.pending.value).toMatchObject({ setAside: 2 });
    await page.book.log(job.id, trim(1));
    await vi.waitFor(() => expect(page.book.pending.value).toMatchObject({ setAside: 1 }));
    await page.book.layAside(second!.entry.id);
    expect(page.book.pending.value).toMatchObject({ setAside: 0 });
    expect(page.book.pending.value.asideByJob.size).toBe(0);
    const exported = JSON.parse(await (await page.book.exportSetAside()).text());
    expect(exported).toMatchObject([{ fixed_by: expect.any(String) }, { laid_aside: expect.stringMatching(/^20/) }]);
    page = await openPage();
    await page.book.openBook();
    await vi.waitFor(() => expect(page.book.pending.value).toMatchObject({ setAside: 0 }));
    expect((await page.book.asideHeld()).map((row) => [!!row.fixedBy, !!row.laidAside])).toEqual([[true, false], [false, true]]);
  });

  test("a conflict is kept and shown", async () => {
    const { job } = await workOffline(service, page, 1);
    await offline(service, page, () => page.book.log(job.id, trim(7)));
    await offline(service, page, async () => {
      const [held] = await page.outbox.queuedAfter(0, 1);
      service.write("bike", { ...bikeDraft({ id: job.bike_id }), family: "family" });
      service.write("entry", { ...held!.entry, data: { adjuster: "rear_trim", amount: 99, unit: "step" } });
    });
    await page.book.sendNow();
    expect(page.book.pending.value).toMatchObject({ count: 0, setAside: 1 });
    expect(amounts(service).sort()).toEqual([7, 99]);
  });

  test("retry is kept, holds up nothing, and is shown after a day", async () => {
    const { job } = await workOffline(service, page, 3);
    service.judge = (entry) => (entry.data.amount === 2 ? { status: "retry", problem: { title: "Not known here yet" } } : undefined);
    await page.book.sendNow();
    expect(amounts(service)).toEqual([1, 3]);
    const rows = page.book.entriesOf(job.id);
    const waiting = () => rows.value.find((row) => row.state === "queued");
    await vi.waitFor(() => expect(waiting()?.problem?.title).toBe("Not known here yet"));
    expect(waiting()?.stuck).toBeUndefined();
    vi.useFakeTimers({ toFake: ["Date"], now: Date.now() + 25 * 60 * 60_000 });
    await page.book.sendNow();
    await vi.waitFor(() => expect(waiting()?.stuck).toBe(true));
    service.judge = () => undefined;
    await page.book.sendNow();
    expect(amounts(service)).toEqual([1, 3, 2]);
    expect(page.book.pending.value.count).toBe(0);
  });
});

describe("one refused bike", () => {
  test("holds only its own job and entries", async () => {
    const bad = await workOffline(service, page, 2);
    const good = await workOffline(service, page, 3);
    service.refuseNoun = (noun, body) => (noun === "bike" && body.label === "bad" ? { detail: "No such cog." } : undefined);
    await offline(service, page, () => page.book.putBike({ ...bad.bike, label: "bad" }));
    await page.book.sendNow();
    expect(service.entries.map((entry) => entry.job_id)).toEqual(range(3).map(() => good.job.id));
    expect(page.book.held.value).toMatchObject([{ noun: "bike", id: bad.bike.id, state: "refused", problem: { detail: "No such cog." } }]);
    expect(page.book.pending.value.count).toBe(4);
    await page.book.putBike({ ...bad.bike, label: "good" });
    await page.book.sendNow();
    expect(service.entries).toHaveLength(5);
    expect(page.book.pending.value.count).toBe(0);
  });
});

describe("a revoked token", () => {
  test("keeps the work of the phone, which a new pairing sends", async () => {
    const { job } = await workOffline(service, page, 1);
    service.token = "another";
    await page.book.sendNow();
    expect(page.book.signalState.value).toBe("revoked");
    await page.book.log(job.id, trim(2));
    const before = page.book.session.value!.deviceId;
    await page.book.pair("CODE", "Phone");
    await page.book.sendNow();
    expect(amounts(service)).toEqual([1, 2]);
    expect(page.book.session.value!.deviceId).toBe(before);
    expect(page.book.signalState.value).toBe("online");
  });

  test("a pairing with another shop sends nothing of it there", async () => {
    await workOffline(service, page, 2);
    service.shop = "another shop";
    service.token = "another";
    await page.book.pair("CODE", "Phone");
    await page.book.sendNow();
    expect(service.rows).toEqual([]);
    expect(page.book.signalState.value).toBe("other_shop");
    expect(page.book.pending.value.count).toBe(4);
  });
});

describe("when to try again", () => {
  test("also where the screens could not read what has changed", async () => {
    vi.useFakeTimers({ toFake: ["setTimeout", "clearTimeout"] });
    const { job } = await workOffline(service, page, 1);
    const get = vi.spyOn((globalThis as any).IDBObjectStore.prototype, "getAll").mockImplementation(() => {
      throw new DOMException("cannot read", "UnknownError");
    });
    service.write("bike", { ...bikeDraft({ id: job.bike_id }), family: "family" });
    await page.book.sendNow().catch(() => undefined);
    get.mockRestore();
    await vi.advanceTimersByTimeAsync(5 * 60_000);
    vi.useRealTimers();
    await vi.waitFor(() => expect(amounts(service)).toEqual([1]));
  });

  test("not before Retry-After, whatever asks for it", async () => {
    vi.useFakeTimers({ toFake: ["Date", "performance", "setTimeout", "clearTimeout"] });
    const { job } = await workOffline(service, page, 1);
    once("/entries", faults.busy(120));
    await page.book.sendNow();
    expect(service.posts()).toHaveLength(1);
    await page.book.log(job.id, trim(2));
    await page.book.sendNow();
    await vi.advanceTimersByTimeAsync(119_000);
    expect(service.posts()).toHaveLength(1);
    await vi.advanceTimersByTimeAsync(2_000);
    vi.useRealTimers();
    await vi.waitFor(() => expect(amounts(service)).toEqual([1, 2]));
  });

  test("by itself after a failure, on becoming visible, and when the network returns", async () => {
    vi.useFakeTimers({ toFake: ["setTimeout", "clearTimeout"] });
    const failing = async (start: () => void) => {
      await workOffline(service, page, 1);
      const before = service.entries.length;
      start();
      vi.useRealTimers();
      await vi.waitFor(() => expect(service.entries.length).toBe(before + 1));
    };
    await failing(() => void vi.advanceTimersByTime(5 * 60_000));
    await failing(() => void document.dispatchEvent(new Event("visibilitychange")));
    await failing(() => void window.dispatchEvent(new Event("online")));
  });

  test("after each save", async () => {
    const { job } = await workOffline(service, page, 0);
    await page.book.log(job.id, trim(1));
    await vi.waitFor(() => expect(amounts(service)).toEqual([1]));
  });
});

test("the offset of the phone's clock is kept", async () => {
  service.clockAhead = 90_000;
  await workOffline(service, page, 1);
  await page.book.sendNow();
  const clock = await page.database.read(["meta"], (tx) => page.database.getMeta(tx, "clock"));
  expect(Math.abs(clock!.offset_ms - 90_000)).toBeLessThan(1000);
});

test("a fault while an edit goes out leaves it queued", async () => {
  const bike = bikeDraft();
  await offline(service, page, () => page.book.putBike(bike));
  once("/bikes", () => problem(503));
  await page.book.sendNow();
  expect(page.book.pending.value.count).toBe(1);
  await page.book.putJob(jobDraft(bike.id));
  await page.book.sendNow();
  expect(page.book.pending.value.count).toBe(0);
});
