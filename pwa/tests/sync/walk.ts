/** A seeded random walk over everything that can go wrong between a phone and its service. */
import { vi } from "vitest";
import { faults, problem, type Fault, type FakeService, type Row } from "./fake_service";
import { bikeDraft, jobDraft, openPage, openTab, pairedPhone, trim, type Page } from "./phone";

/** A small generator with a seed, so that a walk that finds something can be walked again (Marsaglia 2003, xorshift). */
export function seeded(seed: number): () => number {
  let state = seed || 1;
  return () => {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    return (state >>> 0) / 2 ** 32;
  };
}

interface World {
  service: FakeService;
  page: Page;
  tab: Page | null;
  random: () => number;
  jobs: string[];
  bikes: string[];
  /** Entries that a screen has confirmed as saved on the phone. */
  saved: Map<string, unknown>;
  backup: Row[];
}

const twice: Fault = (_, exchange) => {
  exchange();
  return exchange();
};
const never: Fault = () => new Promise(() => undefined);
const answeredThenKilled: Fault = (_, exchange) => {
  exchange();
  return new Promise(() => undefined);
};
/** Only what is large is too large. */
const tooLarge: Fault = (seen, exchange) => (seen.body?.entries?.length > 1 ? problem(413) : exchange());
const NETWORK: Fault[] = [
  faults.noSignal, faults.answerLost, faults.portal, faults.status(500), tooLarge, faults.status(426), faults.status(401),
  faults.busy(0), twice, () => Response.json({ results: [] }),
];

const pick = <T>(world: World, from: readonly T[]): T => from[Math.floor(world.random() * from.length)]!;
const anyPage = ({ page, tab, random }: World) => (tab && random() < 0.5 ? tab : page);

const steps: ((world: World) => Promise<void>)[] = [save, save, save, save, newJob, editBike, faultySync, faultySync, reload, killWhileSending,
  secondTab, failingSave, backUp, restore, otherPhone, pairAgain];

async function save(world: World): Promise<void> {
  const { entry } = await anyPage(world).book.log(pick(world, world.jobs), trim(Math.ceil(world.random() * 9)));
  world.saved.set(entry.id, entry);
}

async function newJob(world: World): Promise<void> {
  const bike = bikeDraft();
  const job = jobDraft(bike.id);
  await world.page.book.putBike(bike);
  await world.page.book.putJob(job);
  world.bikes.push(bike.id);
  world.jobs.push(job.id);
}

async function editBike(world: World): Promise<void> {
  const bike = world.page.book.bikeById(pick(world, world.bikes));
  if (bike) await world.page.book.putBike({ ...bike, frame_number: `F ${world.jobs.length} ${Math.floor(world.random() * 1000)}` });
}

async function faultySync(world: World): Promise<void> {
  const fault = pick(world, NETWORK);
  const chance = world.random();
  world.service.fault = () => (world.random() < chance ? fault : undefined);
  await anyPage(world).book.sendNow();
  world.service.fault = () => undefined;
}

async function reload(world: World): Promise<void> {
  world.tab = null;
  world.page = await openPage();
  await world.page.book.openBook();
}

async function killWhileSending(world: World): Promise<void> {
  const fault = world.random() < 0.5 ? never : answeredThenKilled;
  const sent = new Promise<void>((resolve) => {
    world.service.fault = ({ path }) => {
      if (path !== "/entries") return undefined;
      resolve();
      return fault;
    };
  });
  const quiet = world.page.book.sendNow();
  await Promise.race([sent, quiet]);
  await reload(world);
  world.service.fault = () => undefined;
}

async function secondTab(world: World): Promise<void> {
  if (world.tab) return;
  world.tab = await openTab();
  await world.tab.book.openBook();
}

async function failingSave(world: World): Promise<void> {
  const name = world.random() < 0.5 ? "QuotaExceededError" : "UnknownError";
  const spy = vi.spyOn((globalThis as any).IDBObjectStore.prototype, "add").mockImplementation(() => {
    throw new DOMException("failed", name);
  });
  const saved = await world.page.book.log(pick(world, world.jobs), trim(1)).catch(() => null);
  spy.mockRestore();
  if (saved) throw new Error("A save that failed was confirmed.");
}

async function backUp({ service, ...world }: World): Promise<void> {
  // Whether the phone hears of it before the next loss is the walk's to say.
  service.backedUpTo = Math.max(0, ...service.rows.map((row) => row.seq));
  world.backup.splice(0, Infinity, ...service.backup());
}

async function restore({ service, backup, random }: World): Promise<void> {
  if (random() < 0.5) return;
  service.restore(backup);
  service.backedUpTo = null;
}

async function otherPhone(world: World): Promise<void> {
  const row = world.service.of("bike", pick(world, world.bikes));
  if (row) world.service.write("bike", { ...row.body, serials: [`S ${Math.floor(world.random() * 1000)}`] });
}

async function pairAgain(world: World): Promise<void> {
  world.service.token = "revoked";
  await world.page.book.sendNow();
  await world.page.book.pair("CODE", "Phone").catch(() => undefined);
}

/** Walks, lets everything settle, and says what is wrong: lost, doubled, changed or out of place. */
export async function walk(seed: number, length: number): Promise<string[]> {
  const world: World = { ...(await pairedPhone()), tab: null, random: seeded(seed), jobs: [], bikes: [], saved: new Map(), backup: [] };
  await newJob(world);
  for (let i = 0; i < length; i++) await pick(world, steps)(world);
  world.service.fault = () => undefined;
  // A page closed here goes on until its round ends, which a killed one does not.
  await reload(world);
  await world.page.book.sendNow();
  await new Promise((resolve) => setTimeout(resolve, 100));
  await reload(world);
  await world.page.book.pair("CODE", "Phone");
  for (let i = 0; i < 4; i++) await world.page.book.sendNow();
  return judge(world);
}

function judge({ service, page, saved, bikes, jobs }: World): string[] {
  const wrong: string[] = [];
  const counts = new Map<string, number>();
  for (const { seq: _, ...entry } of service.entries) {
    counts.set(entry.id, (counts.get(entry.id) ?? 0) + 1);
    const own = saved.get(entry.id);
    if (own && JSON.stringify(own) !== JSON.stringify(entry)) wrong.push(`changed: ${entry.id}`);
  }
  for (const id of saved.keys()) {
    if (!counts.has(id)) wrong.push(`lost: ${id}`);
    else if (counts.get(id) !== 1) wrong.push(`doubled: ${id}`);
  }
  const numbers = service.entries.map((entry) => entry.device_seq).sort((one, other) => one - other);
  if (numbers.some((n, i) => n !== i + 1)) wrong.push("device numbers have a gap or a twin");
  for (const id of bikes) if (!service.of("bike", id)) wrong.push(`bike lost: ${id}`);
  for (const id of jobs) if (!service.of("job", id)) wrong.push(`job lost: ${id}`);
  if (page.book.pending.value.setAside > 0) wrong.push("something was set aside");
  if (page.book.pending.value.count > 0) wrong.push(`not sent: ${page.book.pending.value.count} ${JSON.stringify(page.book.held.value)}`);
  return wrong;
}
