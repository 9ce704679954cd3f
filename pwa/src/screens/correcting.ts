/** A reading that is being put right: the new one names it and keeps its moment, its stage, its gear and what goes with it. */
import { signal } from "@preact/signals";
import type { Entry, EntryDraft, EntryOf } from "../nouns";

export const correcting = signal<EntryOf<"reading"> | null>(null);

/** What a correction takes over from the entry it replaces. */
export function headOf(e: Entry): Partial<EntryDraft> {
  const { id: replaces, taken_at, stage, gear, gauge_id, odometer_km, note, photos } = e;
  const kept = { gear, gauge_id, odometer_km, note, photos };
  return { replaces, taken_at, stage, ...Object.fromEntries(Object.entries(kept).filter(([, value]) => value !== undefined)) };
}
