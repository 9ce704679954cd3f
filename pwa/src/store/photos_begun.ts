/** Photos of what is begun, by what it is: on the phone's disk until they are written down with it, or left out. */
import { read, write, type NewPhoto } from "./database";

const keyOf = (of: string): string => `begun ${of}`;

export const photosBegun = async (of: string): Promise<NewPhoto[]> =>
  ((await read(["meta"], (tx) => tx.objectStore("meta").get(keyOf(of)))) as NewPhoto[] | undefined) ?? [];

export async function keepPhotosBegun(of: string, photos: NewPhoto[]): Promise<void> {
  await write(["meta"], async (tx) => {
    if (photos.length) await tx.objectStore("meta").put(photos, keyOf(of));
    else await tx.objectStore("meta").delete(keyOf(of));
  });
}
