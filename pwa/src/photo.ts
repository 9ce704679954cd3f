/** A picture made small enough for a weak signal. It is drawn anew, so that nothing but its pixels is left: no place, no device. */
import type { NewPhoto } from "./store/database";

/** Of its longer side. */
const MOST_PIXELS = 1600;
/** Far below the service's 4 MiB: a photo should get through where there is hardly a signal. */
const MOST_BYTES = 1024 * 1024;
const QUALITIES = [0.8, 0.6, 0.4, 0.2];

/** What the person can do about a picture that cannot be used. */
export class NoPicture extends Error {
  override name = "NoPicture";
}

/** Throws NoPicture. */
export async function smaller(file: Blob): Promise<NewPhoto> {
  const picture = await createImageBitmap(file, { imageOrientation: "from-image" }).catch(() => {
    throw new NoPicture("This is no picture that this browser can read. Take it here, or choose a JPEG or PNG.");
  });
  try {
    for (let most = MOST_PIXELS; most >= MOST_PIXELS / 4; most /= 2) {
      const canvas = drawn(picture, most);
      for (const quality of QUALITIES) {
        const jpeg = await asJpeg(canvas, quality);
        if (jpeg.size <= MOST_BYTES) return named(await jpeg.arrayBuffer());
      }
    }
  } finally {
    picture.close();
  }
  throw new NoPicture("This picture cannot be made small enough to be sent. Take it again from nearer, or cut it to what matters.");
}

function drawn(picture: ImageBitmap, most: number): HTMLCanvasElement {
  const by = Math.min(1, most / Math.max(picture.width, picture.height));
  const canvas = document.createElement("canvas");
  canvas.width = Math.max(1, Math.round(picture.width * by));
  canvas.height = Math.max(1, Math.round(picture.height * by));
  const on = canvas.getContext("2d");
  if (!on) throw new NoPicture("This phone is short of memory. Close other pages and try again.");
  // A JPEG knows no transparency: white lies under it, as on paper.
  on.fillStyle = "#fff";
  on.fillRect(0, 0, canvas.width, canvas.height);
  on.imageSmoothingQuality = "high";
  on.drawImage(picture, 0, 0, canvas.width, canvas.height);
  return canvas;
}

function asJpeg(canvas: HTMLCanvasElement, quality: number): Promise<Blob> {
  return new Promise((resolve, reject) => canvas.toBlob(
    (jpeg) => (jpeg?.type === "image/jpeg" ? resolve(jpeg) : reject(new NoPicture("This browser cannot make a JPEG of it. Choose another picture, or open the app in another browser."))),
    "image/jpeg", quality,
  ));
}

async function named(bytes: ArrayBuffer): Promise<NewPhoto> {
  return { sha256: await sha256(bytes), bytes };
}

export async function sha256(bytes: ArrayBuffer): Promise<string> {
  const hash = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  return [...hash].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}
