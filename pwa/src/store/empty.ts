/** Empties the phone, to pair it with another shop. Needed once in a phone's life: it comes late. */
import { Problem, saved } from "../problem";
import { getMeta, putMeta, read, write, type Device } from "./database";
import { openEdits } from "./edits";
import { countHeld } from "./outbox";

/** Forgets all but which device this is. Refused while it holds anything that was not sent, or begun and not written down. */
export async function emptyPhone(): Promise<void> {
  const [held, bikes, jobs, photos, begun] = await Promise.all([
    countHeld(), openEdits("bike"), openEdits("job"),
    read(["photos"], (tx) => tx.objectStore("photos").index("state").count(IDBKeyRange.bound(["queued"], ["refused", []]))),
    read(["meta"], (tx) => tx.objectStore("meta").count(IDBKeyRange.bound("begun ", "begun \uffff"))),
  ]);
  if (held.entries + held.asideByJob.size + bikes.length + jobs.length + photos + begun > 0) {
    const detail = "This phone holds work that was not sent, is set aside, or is begun with a photo. Pair it with its own shop and see to that first.";
    throw new Problem(0, { title: "Not emptied", detail });
  }
  await saved(write(["meta", "outbox", "edits", "bikes", "jobs", "entries", "photos"], async (tx) => {
    const device = (await getMeta(tx, "device")) as Device;
    for (const name of tx.objectStoreNames) await tx.objectStore(name).clear();
    await putMeta(tx, "device", device);
  }));
}
