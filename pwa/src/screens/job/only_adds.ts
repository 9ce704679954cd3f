/** An entry that is written anew with a photo, or with what a turning did, is no correction: it takes nothing back. */
import type { Entry } from "../../nouns";
import { same } from "../../store/merge";

/** What an entry says, besides its data and photos. */
const SAID = ["kind", "stage", "gear", "gauge_id", "odometer_km", "note"] as const;

/** Whether the newer one says all that the older one said. */
export function onlyAdds(older: Entry, newer: Entry): boolean {
  return SAID.every((name) => same(older[name], newer[name])) &&
    Object.entries(older.data).every(([name, value]) => same(value, (newer.data as Record<string, unknown>)[name])) &&
    (older.photos ?? []).every((sha256) => newer.photos?.includes(sha256));
}
