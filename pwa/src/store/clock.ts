/**
 * How far this phone's clock is off, and since when. An entry keeps the time the phone's clock showed; the service adds
 * the offset of the batch it came in. So what was saved before the clock was set must not travel with what came after.
 */
import { signal, type Signal } from "@preact/signals";
import type { Entry } from "../nouns";
import { localTime, type ClockReading } from "../sync/clock";
import { getMeta, putMeta, read, type Device, type HeldEntry, type Meta, type Transaction } from "./database";

/** Less may be the network's doing; the service draws the same line. */
const STEADY_MS = 5_000;
/** A clock that stands as it did, with nothing saved since, is noted no more often than this. */
const FRESH_MS = 60_000;

/** What to add to this phone's clock to get the service's, in ms; 0 while they agree. */
export const clockOffset: Signal<number> = signal(0);

export async function loadClock(): Promise<void> {
  clockOffset.value = settled(await read(["meta"], (tx) => getMeta(tx, "clock")));
}

export const settled = (reading: ClockReading | undefined): number =>
  reading && Math.abs(reading.offset_ms) > STEADY_MS ? Math.round(reading.offset_ms) : 0;

/** This moment by the service's clock, written in the phone's own zone. */
export const moment = (): string => localTime(new Date(Date.now() + clockOffset.value));

/** The entry at the time it was really taken, as far as is known. */
export function atTrueTime<E extends Entry>(entry: E, offset: number | undefined): E {
  return offset ? { ...entry, taken_at: localTime(new Date(Date.parse(entry.taken_at) + offset)) } : entry;
}

type Noted = Meta["clock"];

/** Was the clock set since the reading before? The first one counts too. */
export function wasSet(before: Noted | undefined, reading: ClockReading): boolean {
  if (!before) return true;
  const slack = STEADY_MS + (reading.round_trip_ms + before.round_trip_ms) / 2;
  return Math.abs(reading.offset_ms - before.offset_ms) > slack;
}

/** Does a reading tell anything that is worth a write? */
export const isNews = (before: Noted | undefined, reading: ClockReading, device: Device): boolean =>
  wasSet(before, reading) || before!.next_seq !== device.next_seq || reading.at - before!.at > FRESH_MS;

/** Takes note of a reading; true where the clock was set since the one before. */
export async function noteClock(tx: Transaction, reading: ClockReading): Promise<boolean> {
  const before = await getMeta(tx, "clock");
  const { next_seq } = (await getMeta(tx, "device")) as Device;
  const set = wasSet(before, reading);
  await putMeta(tx, "clock", { ...(set || !before ? reading : before), at: reading.at, next_seq });
  if (!before) return true;
  // Confirmed ones too: a service that is restored gets them again. One that was set right again has erred only since.
  const outbox = tx.objectStore("outbox");
  const all = await outbox.getAll(set ? null : IDBKeyRange.lowerBound(before.next_seq ?? 0));
  const unmarked = all.filter((held) => held.offset_ms === undefined);
  const offsets = offsetsThen(unmarked, before, reading);
  let erred = false;
  for (const [i, held] of unmarked.entries()) {
    const offset_ms = offsets[i]!;
    if (Math.abs(offset_ms - reading.offset_ms) <= STEADY_MS) continue;
    await outbox.put({ ...held, offset_ms: settled({ ...reading, offset_ms }) });
    erred = true;
  }
  return set || erred;
}

/**
 * What the clock was off by when each of the entries, in device order, was saved; in ms. A step back in their times shows
 * a clock set back, by so much at least. What is left of the change is a clock set ahead, at the step that looks most like
 * it and by so much at most; or the time that passed meanwhile; or a clock set back that no step shows, which was set
 * before all of them.
 */
export function offsetsThen(held: HeldEntry[], before: Noted, now: ClockReading): number[] {
  const known = held.filter((one) => one.device_seq < (before.next_seq ?? 0)).length;
  const moments = [before.at, ...held.slice(known).map((one) => one.saved_at), now.at];
  const steps = moments.slice(1).map((at, i) => at - moments[i]!);
  const changes = steps.map((step) => (step < -STEADY_MS ? -step : 0));
  const left = now.offset_ms - before.offset_ms - changes.reduce((sum, change) => sum + change);
  const back = [...changes.keys()].filter((i) => changes[i]! > 0);
  // Time that passed at a setting hides in each step, nobody knows how much where: shared alike, so that what was saved
  // between two settings keeps its place.
  if (left < -STEADY_MS) {
    const ahead = steps.indexOf(Math.max(...steps));
    const share = Math.max(0, steps[ahead]! + left) / (back.length + 1);
    for (const i of back) changes[i]! += share;
    changes[ahead]! += left - share * back.length;
  } else if (back.length) {
    for (const i of back) changes[i]! += left / back.length;
  } else if (left > STEADY_MS) changes[0]! += left;
  let offset = before.offset_ms;
  return held.map((_, i) => (i < known ? offset : (offset += changes[i - known]!)));
}
