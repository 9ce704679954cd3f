/**
 * Says plainly when the browser has thrown away what was not sent. A small mark outside the database tells how much was
 * held and by which device. It is kept twice, as browsers differ in what they clear together with a database; one that
 * clears everything takes both, and then nothing on the phone can tell.
 */
import { signal, type Signal } from "@preact/signals";
import { getMeta, read } from "./database";

const MARK = "roadproof";
const FOUR_HUNDRED_DAYS = 34_560_000;
interface Held {
  /** Entries, bikes and jobs together, as versions of the app before this one count them. */
  held: number;
  edits?: number;
  photos?: number;
}
interface Mark extends Held {
  device: string;
  /** Grows with each: a browser brings each place to its disk when it likes. */
  n?: number;
}

/** What was on this phone, not yet sent, when its storage was cleared. */
export const lost: Signal<Required<Held> | null> = signal(null);

const deviceId = async () => (await read(["meta"], (tx) => getMeta(tx, "device")))?.id;

const places = [
  {
    get: () => localStorage.getItem(MARK),
    put: (text: string) => localStorage.setItem(MARK, text),
  },
  {
    get: () => decodeURIComponent(document.cookie.split("; ").find((one) => one.startsWith(`${MARK}=`))?.slice(MARK.length + 1) ?? ""),
    put: (text: string) =>
      void (document.cookie = `${MARK}=${encodeURIComponent(text)}; max-age=${FOUR_HUNDRED_DAYS}; path=/; samesite=strict`),
  },
];

/** The newest that is found. */
function readMark(): Mark | null {
  let newest: Mark | null = null;
  for (const place of places) {
    try {
      const mark = JSON.parse(place.get() || "null") as Mark | null;
      if (mark && typeof mark.held === "number" && typeof mark.device === "string" && (mark.n ?? 0) > (newest?.n ?? -1)) newest = mark;
    } catch {
      // Not there, or not ours.
    }
  }
  return newest;
}

function writeMark(held: Mark): void {
  const mark = { ...held, n: (readMark()?.n ?? 0) + 1 };
  for (const place of places) {
    try {
      place.put(JSON.stringify(mark));
    } catch {
      // Without the mark only the notice of a loss is missing.
    }
  }
}

/** Looks whether the mark was made over another database than the one now here. */
export const noteLoss = async (): Promise<void> => look(await deviceId());

function look(device: string | undefined): void {
  const mark = readMark();
  if (!mark || mark.device === device) return;
  const { held, edits = 0, photos = 0 } = mark;
  if (held + photos > 0) lost.value = { held, edits, photos };
}

/** The person has read it; `held` is what the phone holds now. */
export async function lossSeen(held: Held): Promise<void> {
  const device = await deviceId();
  if (device) writeMark({ ...held, device });
  lost.value = null;
}

export async function rememberHeld(now: Partial<Held>): Promise<void> {
  const device = await deviceId();
  // Storage may be cleared under an open page too.
  if (!lost.value) look(device);
  // A loss not yet read stays written down.
  if (lost.value || !device) return;
  const mark = readMark();
  writeMark({ held: 0, ...(mark?.device === device && mark), ...now, device });
}
