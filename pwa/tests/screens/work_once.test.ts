/** A save must not wait for other jobs: what is worked out for it, counted. */
import { beforeEach, expect, it, vi } from "vitest";
import { effect } from "@preact/signals";
import { catalogue } from "../catalogue_source";
import { offline, pairedPhone, trim, workOffline } from "../sync/phone";

/** Whoever works out a job makes its plan. */
const plans = vi.fn();
vi.mock("../../src/domain/plan", async (original) => {
  const real = await original<typeof import("../../src/domain/plan")>();
  return { ...real, plan: (...given: Parameters<typeof real.plan>) => (plans(), real.plan(...given)) };
});

let phone: Awaited<ReturnType<typeof pairedPhone>>;
let ids: string[];
/** Three jobs as a screen follows them that shows all three. */
let works: Record<string, unknown>;

beforeEach(async () => {
  phone = await pairedPhone();
  const { book } = phone.page;
  const { useWork } = await import("../../src/screens/work");
  book.catalogue.value = catalogue;
  ids = [];
  for (const n of [1, 2, 3]) ids.push((await workOffline(phone.service, phone.page, n)).job.id);
  await book.sendNow();
  works = {};
  for (const id of ids) {
    effect(() => {
      const job = book.jobById(id)!;
      works[id] = useWork(book.bikeById(job.bike_id)!, job);
    });
  }
  await vi.waitFor(() => expect(Object.values(works).every((work) => work !== null)).toBe(true));
  plans.mockClear();
});

it("a save works out its own job, once, and no other", async () => {
  const { service, page } = phone;
  await offline(service, page, () => page.book.log(ids[1]!, trim(4)));
  expect(works[ids[1]!]).toMatchObject({ standing: { length: 3 } });
  expect(plans).toHaveBeenCalledTimes(1);
});

it("what the service answers leaves the other jobs as they were worked out", async () => {
  const { book } = phone.page;
  const before = { ...works };
  await book.log(ids[1]!, trim(4));
  await book.sendNow();
  expect(book.unsentOf(ids[1]!)).toBe(0);
  expect(ids.map((id) => works[id] === before[id])).toEqual([true, false, true]);
});

it("a bike that was written anew is worked out anew, and no other", async () => {
  const { book } = phone.page;
  const before = { ...works };
  const bike = book.bikeById(book.jobById(ids[0]!)!.bike_id)!;
  await book.putBike({ ...bike, label: "Blue gravel bike" });
  await book.sendNow();
  expect(ids.map((id) => works[id] === before[id])).toEqual([false, true, true]);
});
