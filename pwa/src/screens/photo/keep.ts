import type { Signal } from "@preact/signals";
import { log, NotSaved, unsaved, type LoggedEntry } from "../../book";
import type { EntryDraft } from "../../nouns";
import type { NewPhoto } from "../../store/database";

/** The entry comes first: where its photos cannot be kept it is kept without them, and the person is told. */
export async function logWith(photos: Signal<NewPhoto[]>, jobId: string, draft: EntryDraft): Promise<LoggedEntry> {
  try {
    const kept = await log(jobId, draft, photos.value);
    photos.value = [];
    return kept;
  } catch (error) {
    if (!(error instanceof NotSaved)) throw error;
    const kept = await log(jobId, draft);
    unsaved.value = `Written down without its photo. ${photoNotSaved(error)}`;
    photos.value = [];
    return kept;
  }
}

/** What a photo that could not be written says. */
export function photoNotSaved(error: NotSaved): string {
  return error.message.replace("Not saved:", "The photo is not saved:").replace("Try again.", "Then add it to the entry again.");
}
