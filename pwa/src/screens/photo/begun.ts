import type { Signal } from "@preact/signals";
import { NotSaved } from "../../problem";
import type { NewPhoto } from "../../store/database";
import { keepPhotosBegun, photosBegun } from "../../store/photos_begun";
import { here } from "./source";

/** What was begun before the page was opened comes back; from then on every change is kept. */
export async function followBegun(of: string, photos: Signal<NewPhoto[]>): Promise<void> {
  const held = await photosBegun(of);
  held.forEach(here);
  let kept = held;
  photos.value = joined(held, photos.value);
  photos.subscribe((now) => {
    if (now === kept) return;
    kept = now;
    keepPhotosBegun(of, now).catch((error: unknown) => {
      throw new NotSaved(error);
    });
  });
}

/** The same picture twice is one. */
export const joined = (some: NewPhoto[], more: NewPhoto[]): NewPhoto[] =>
  more.length ? [...new Map([...some, ...more].map((photo) => [photo.sha256, photo])).values()] : some;
