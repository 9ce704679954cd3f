import { beforeEach, describe, expect, test } from "vitest";
import { merge } from "../../src/store/merge";
import { problem, type FakeService } from "./fake_service";
import { bikeDraft, jobDraft, offline, pairedPhone, trim, workOffline, type Page } from "./phone";

let service: FakeService;
let page: Page;
beforeEach(async () => ({ service, page } = await pairedPhone()));

const bikeOf = (id: string) => service.of("bike", id)!.body;

describe("a bike edited on two phones", () => {
  test("in different fields is merged field by field", async () => {
    const { bike } = await workOffline(service, page, 0);
    await page.book.sendNow();
    service.write("bike", { ...bikeOf(bike.id), drivetrain: { ...bike.drivetrain, chainstay_mm: 430 } });
    await offline(service, page, () => page.book.putBike({ ...bike, label: "Tall grey bike", drivetrain: { ...bike.drivetrain, trim_step_mm: 0.2 } }));
    await page.book.sendNow();
    expect(bikeOf(bike.id)).toMatchObject({ label: "Tall grey bike", drivetrain: { chainstay_mm: 430, trim_step_mm: 0.2 } });
    expect(page.book.bikeById(bike.id)).toMatchObject({ label: "Tall grey bike", drivetrain: { chainstay_mm: 430, trim_step_mm: 0.2 } });
    expect(page.book.held.value).toEqual([]);
  });

  test("between the phone's pull and its send is merged on 409", async () => {
    const { bike } = await workOffline(service, page, 0);
    await page.book.sendNow();
    await offline(service, page, () => page.book.putBike({ ...bike, label: "Tall grey bike" }));
    let first = true;
    service.fault = (seen) => {
      if (first && seen.method === "PUT") {
        first = false;
        service.write("bike", { ...bikeOf(bike.id), frame_number: "F 7" });
      }
      return undefined;
    };
    await page.book.sendNow();
    expect(bikeOf(bike.id)).toMatchObject({ label: "Tall grey bike", frame_number: "F 7" });
    expect(service.seen.filter((seen) => seen.method === "PUT").length).toBe(4);
  });

  test("in the same field is shown as a clash, whose answer is sent", async () => {
    const { bike } = await workOffline(service, page, 0);
    await page.book.sendNow();
    service.write("bike", { ...bikeOf(bike.id), label: "Theirs", frame_number: "F 7" });
    await offline(service, page, () => page.book.putBike({ ...bike, label: "Mine" }));
    await page.book.sendNow();
    expect(bikeOf(bike.id).label).toBe("Theirs");
    expect(page.book.held.value).toEqual([{ noun: "bike", id: bike.id, state: "clash", clashes: [{ field: "label", mine: "Mine", theirs: "Theirs" }] }]);
    await page.book.putBike({ ...page.book.bikeById(bike.id)!, label: "Both" });
    await page.book.sendNow();
    expect(bikeOf(bike.id)).toMatchObject({ label: "Both", frame_number: "F 7" });
    expect(page.book.held.value).toEqual([]);
  });

  test("in the same field can be left as the other has it", async () => {
    const { bike } = await workOffline(service, page, 0);
    await page.book.sendNow();
    service.write("bike", { ...bikeOf(bike.id), label: "Theirs" });
    await offline(service, page, () => page.book.putBike({ ...bike, label: "Mine" }));
    await page.book.sendNow();
    await page.book.withdrawEdit("bike", bike.id);
    expect(page.book.bikeById(bike.id)?.label).toBe("Theirs");
    expect(page.book.pending.value.count).toBe(0);
  });

  test("a clash stays one until a person has decided, whatever else the other changes", async () => {
    const { bike } = await workOffline(service, page, 0);
    await page.book.sendNow();
    service.write("bike", { ...bikeOf(bike.id), label: "Theirs" });
    await offline(service, page, () => page.book.putBike({ ...bike, label: "Mine" }));
    await page.book.sendNow();
    service.write("bike", { ...bikeOf(bike.id), frame_number: "F 7" });
    await page.book.sendNow();
    expect(bikeOf(bike.id).label).toBe("Theirs");
    expect(page.book.held.value).toMatchObject([{ id: bike.id, state: "clash", clashes: [{ field: "label", mine: "Mine", theirs: "Theirs" }] }]);
    service.write("bike", { ...bikeOf(bike.id), label: "Theirs anew" });
    await page.book.sendNow();
    expect(page.book.held.value).toMatchObject([{ clashes: [{ mine: "Mine", theirs: "Theirs anew" }] }]);
    service.write("bike", { ...bikeOf(bike.id), label: "Mine" });
    await page.book.sendNow();
    expect(page.book.held.value).toEqual([]);
  });

  test("taking the other's in one field keeps what was written in the others", async () => {
    const { bike } = await workOffline(service, page, 0);
    await page.book.sendNow();
    const { wheel: _, ...theirs } = bikeOf(bike.id);
    service.write("bike", { ...theirs, label: "Theirs", drivetrain: { ...theirs.drivetrain, cogs: [10, 36] } });
    await offline(service, page, () =>
      page.book.putBike({ ...bike, label: "Mine", frame_number: "F 7", wheel: { bead_seat_mm: 622 }, drivetrain: { ...bike.drivetrain, cogs: [11, 34], trim_step_mm: 0.2 } }));
    await page.book.sendNow();
    expect(page.book.held.value[0]!.clashes.map(({ field }) => field).sort()).toEqual(["drivetrain.cogs", "label"]);
    await page.book.withdrawEdit("bike", bike.id);
    await page.book.sendNow();
    const now = { label: "Theirs", frame_number: "F 7", wheel: { bead_seat_mm: 622 }, drivetrain: { cogs: [10, 36], trim_step_mm: 0.2 } };
    expect(page.book.bikeById(bike.id)).toMatchObject(now);
    expect(bikeOf(bike.id)).toMatchObject(now);
    expect(page.book.pending.value.count).toBe(0);
  });

  test("a clash in what entries are judged by holds them, one in the name does not", async () => {
    const { bike, job } = await workOffline(service, page, 0);
    await page.book.sendNow();
    service.write("bike", { ...bikeOf(bike.id), label: "Theirs" });
    await offline(service, page, async () => {
      await page.book.putBike({ ...bike, label: "Mine" });
      await page.book.log(job.id, trim(1));
    });
    await page.book.sendNow();
    expect(service.entries).toHaveLength(1);
    service.write("bike", { ...bikeOf(bike.id), tyres: "hookless" });
    await offline(service, page, async () => {
      await page.book.putBike({ ...bike, label: "Theirs", tyres: "tube" });
      await page.book.log(job.id, trim(2));
    });
    await page.book.sendNow();
    expect(service.entries).toHaveLength(1);
  });
});

test("an edit made while the one before is under way is sent too", async () => {
  const bike = bikeDraft();
  let putting: Promise<void> | undefined;
  service.fault = (seen) => {
    if (seen.method === "PUT" && !putting) {
      return async (_, exchange) => {
        const answer = exchange();
        putting = page.book.putBike({ ...bike, label: "Second" });
        await putting;
        return answer;
      };
    }
    return undefined;
  };
  await page.book.putBike({ ...bike, label: "First" });
  await page.book.sendNow();
  await page.book.sendNow();
  expect(bikeOf(bike.id).label).toBe("Second");
  expect(page.book.pending.value.count).toBe(0);
});

test("a job missing parts on both phones gets both lists", async () => {
  const { job } = await workOffline(service, page, 0);
  await page.book.sendNow();
  service.write("job", { ...service.of("job", job.id)!.body, missing_parts: ["pedals"] });
  await offline(service, page, () => page.book.putJob({ ...job, missing_parts: ["front_derailleur"] }));
  await page.book.sendNow();
  expect(service.of("job", job.id)!.body.missing_parts.sort()).toEqual(["front_derailleur", "pedals"]);
});

test("a refused job can be withdrawn only where the service has a version of its own", async () => {
  const { bike } = await workOffline(service, page, 0);
  await page.book.sendNow();
  service.refuseNoun = (noun) => (noun === "job" ? { detail: "No." } : undefined);
  const job = jobDraft(bike.id);
  await page.book.putJob(job);
  await page.book.sendNow();
  expect(page.book.held.value).toMatchObject([{ state: "refused", problem: { detail: "No." } }]);
  await page.book.withdrawEdit("job", job.id);
  expect(page.book.jobById(job.id)).toBeDefined();
});

test("another status while a bike is sent keeps it queued", async () => {
  const bike = bikeDraft();
  service.fault = (seen) => (seen.method === "PUT" ? () => problem(401) : undefined);
  await page.book.putBike(bike);
  await page.book.sendNow();
  expect(page.book.held.value).toEqual([]);
  expect(page.book.pending.value.count).toBe(1);
});

test("a job whose bike is still on another phone waits for it", async () => {
  const [bike, entryJob] = [bikeDraft(), jobDraft("")];
  const job = { ...entryJob, bike_id: bike.id };
  await page.book.putJob(job);
  await page.book.log(job.id, trim(1));
  await page.book.sendNow();
  expect(page.book.pending.value).toMatchObject({ count: 2, setAside: 0 });
  expect(page.book.held.value).toEqual([]);
  service.write("bike", { ...bike, family: "family" });
  await page.book.sendNow();
  expect(page.book.pending.value.count).toBe(0);
  expect(service.entries).toHaveLength(1);
});

describe("merging", () => {
  const base = { label: "a", list: ["x", "y"], part: { one: 1, two: 2 }, teeth: [10, 11] };
  test.each([
    ["nothing changed", base, base, base, []],
    ["mine alone", { ...base, label: "b" }, base, { ...base, label: "b" }, []],
    ["theirs alone", base, { ...base, label: "c" }, { ...base, label: "c" }, []],
    ["both the same", { ...base, label: "b" }, { ...base, label: "b" }, { ...base, label: "b" }, []],
    ["both, differently", { ...base, label: "b" }, { ...base, label: "c" }, { ...base, label: "b" }, ["label"]],
    ["fields of a part", { ...base, part: { one: 3, two: 2 } }, { ...base, part: { one: 1, two: 4 } }, { ...base, part: { one: 3, two: 4 } }, []],
    ["words added and taken out", { ...base, list: ["x", "y", "z"] }, { ...base, list: ["y"] }, { ...base, list: ["y", "z"] }, []],
    ["lists of numbers", { ...base, teeth: [10, 12] }, { ...base, teeth: [10, 13] }, { ...base, teeth: [10, 12] }, ["teeth"]],
    ["a field taken out", { list: base.list, part: base.part, teeth: base.teeth }, base, { list: base.list, part: base.part, teeth: base.teeth }, []],
  ])("%s", (_, mine, theirs, body, fields) => {
    const merged = merge<object>(base, mine, theirs);
    expect(merged.body).toEqual(body);
    expect(merged.clashes.map((clash) => clash.field)).toEqual(fields);
  });

  test("a moment is the same in another time zone", () => {
    const found = merge(null, { at: "2026-05-04T09:00:00+02:00" }, { at: "2026-05-04T07:00:00Z" });
    expect(found.clashes).toEqual([]);
  });

  test("without a common version, what differs is a clash", () => {
    expect(merge(null, { label: "a" }, { label: "b" }).clashes).toEqual([{ field: "label", mine: "a", theirs: "b" }]);
  });
});
