/** The open test ride: kept in the database, read by the worker, never interrupted by an update of the app. */
import { signal, type Signal } from "@preact/signals";
import { saved } from "./problem";
import { moment } from "./store/clock";
import { getMeta, putMeta, read, write, type Meta } from "./store/database";
import { tellTabs } from "./sync/tabs";
import { installSettled, takeUpdate, updateWaits } from "./update";

export type Ride = Meta["ride"];
export const ride: Signal<Ride | null> = signal(null);

export async function loadRide(): Promise<void> {
  ride.value = (await read(["meta"], (tx) => getMeta(tx, "ride"))) ?? null;
}

/** At a start: an update that lies ready is taken, unless a ride is open; a ride that waited for it is opened. */
export async function settleAtStart(): Promise<void> {
  await loadRide();
  if (!ride.value && (await updateWaits())) await takeUpdate();
  const wanted = await read(["meta"], (tx) => getMeta(tx, "ride_wanted"));
  if (wanted) await begin(wanted);
}

/** Opens the ride. Where an update of the app lies ready it is taken first, and the page is loaded anew. */
export async function openRide(jobId: string): Promise<void> {
  if (ride.value) return;
  if (await updateWaits()) {
    await saved(write(["meta"], (tx) => putMeta(tx, "ride_wanted", jobId)));
    await takeUpdate();
  }
  await begin(jobId);
  // One that was being installed meanwhile, and did not see the flag, is taken now rather than left waiting.
  void installSettled().then(async () => {
    if (await updateWaits()) await takeUpdate();
  });
}

async function begin(jobId: string): Promise<void> {
  const opened: Ride = { jobId, openedAt: moment(), marks: [] };
  await saved(write(["meta"], async (tx) => {
    await putMeta(tx, "ride", opened);
    await tx.objectStore("meta").delete("ride_wanted");
  }));
  ride.value = opened;
  tellTabs();
}

export async function closeRide(): Promise<void> {
  await saved(write(["meta"], (tx) => tx.objectStore("meta").delete("ride")));
  ride.value = null;
  tellTabs();
}

/** Marks this moment for detail to be given later; kept with the ride. */
export async function markMoment(): Promise<void> {
  await change((open) => ({ ...open, marks: [...open.marks, { at: moment() }] }));
}

/** A mark that has been given its detail, or was made by mistake. */
export async function dropMark(at: string): Promise<void> {
  await change((open) => ({ ...open, marks: open.marks.filter((mark) => mark.at !== at) }));
}

async function change(how: (open: Ride) => Ride): Promise<void> {
  ride.value = await saved(write(["meta"], async (tx) => {
    const open = await getMeta(tx, "ride");
    if (!open) return null;
    const changed = how(open);
    await putMeta(tx, "ride", changed);
    return changed;
  }));
  tellTabs();
}
