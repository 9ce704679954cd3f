/** Photos of entries. The code that takes, keeps and shows them comes late; until it is here there is nothing to show. */
import { signal, type Signal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import { log, type LoggedEntry } from "../book";
import type { Entry, EntryDraft } from "../nouns";
import type { NewPhoto } from "../store/database";
import type { PicturesProps } from "./photo/pictures";

type Parts = typeof import("./photo/parts");
const parts: Signal<Parts | null> = signal(null);
const load = async (): Promise<Parts> => (parts.value ??= await import("./photo/parts"));

function useParts(): Parts | null {
  useEffect(() => void load().catch(() => undefined), []);
  return parts.value;
}

const begun = new Map<string, Signal<NewPhoto[]>>();
/** Photos of something begun, kept until they are written down or left out, whatever page is open. */
export function photosBegun(of: string): Signal<NewPhoto[]> {
  let found = begun.get(of);
  if (!found) {
    const photos = (found = signal<NewPhoto[]>([]));
    begun.set(of, photos);
    void load().then((here) => here.followBegun(of, photos)).catch(() => undefined);
  }
  return found;
}

/** Photos taken for what is in hand, to be written down with it; see `logWith`. */
export function PhotoInHand({ photos }: { photos: Signal<NewPhoto[]> }) {
  const here = useParts();
  return here && <here.InHand photos={photos} />;
}

/** Adds a photo to an entry that is written down already. */
export function AddPhoto(props: { entry: Entry; words: string }) {
  const here = useParts();
  return here && <here.Add {...props} />;
}

/** The photos of an entry, small. */
export function Pictures({ of, ...rest }: Omit<PicturesProps, "of"> & { of: readonly string[] | null | undefined }) {
  return of?.length ? <Shown of={of} {...rest} /> : null;
}

function Shown(props: PicturesProps) {
  const here = useParts();
  return here && <here.Pictures {...props} />;
}

/** Photos this phone still has to send, and those the service will not take. */
export function PhotosWaiting() {
  const here = useParts();
  return here && <here.Waiting />;
}

/** Writes an entry down with its photos. Where only the photos do not fit, it is kept without them, and that is said. */
export function logWith(photos: Signal<NewPhoto[]>, jobId: string, draft: EntryDraft): Promise<LoggedEntry> {
  return photos.value.length ? load().then((here) => here.logWith(photos, jobId, draft)) : log(jobId, draft);
}
