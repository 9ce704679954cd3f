/** The shop's book has been set back to a backup: said on this phone until a person has read it. */
import { signal, type Signal } from "@preact/signals";
import { getMeta, read, write } from "./database";

/** When this phone has seen it; null: it has not, or a person has read it. */
export const restoredAt: Signal<Date | null> = signal(null);

export async function loadRestored(): Promise<void> {
  const at = await read(["meta"], (tx) => getMeta(tx, "restored_at"));
  if (at !== restoredAt.value?.getTime()) restoredAt.value = at === undefined ? null : new Date(at);
}

/** The person has read it. */
export async function restoredSeen(): Promise<void> {
  await write(["meta"], (tx) => tx.objectStore("meta").delete("restored_at"));
  restoredAt.value = null;
}
