import { signal } from "@preact/signals";
import { useState } from "preact/hooks";
import type { Entry, EntryDraft } from "../../nouns";
import type { NewPhoto } from "../../store/database";
import { headOf } from "../correcting";
import { logWith } from "./keep";
import { MOST, Pick } from "./pick";

/** A photo for an entry that is written down: the entry is written anew with the photo, of the same moment and by the same person. */
export function Add({ entry, words }: { entry: Entry; words: string }) {
  const [open, setOpen] = useState(false);
  const add = async (photos: NewPhoto[], done: boolean) => {
    const { kind, data, by } = entry;
    await logWith(signal(photos), entry.job_id, { kind, data, ...headOf(entry), ...(by && { by }) } as EntryDraft);
    setOpen(!done);
  };
  return (
    <>
      <button type="button" class="flat" aria-expanded={open} aria-label={`Photo of ${words}`} onClick={() => setOpen(!open)}>Photo</button>
      {open && <Pick room={MOST - (entry.photos?.length ?? 0)} onPhotos={add} />}
    </>
  );
}
