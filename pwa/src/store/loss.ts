/**
 * Says plainly when the browser has thrown away what was not sent. A small mark beside the database tells how much was
 * held and by which device; a browser that clears everything takes the mark too, and nothing on the phone can tell.
 */
import { signal, type Signal } from "@preact/signals";
import { getMeta, read } from "./database";

const MARK = "roadproof";
interface Mark {
  device: string;
  held: number;
}

/** What was on this phone, not yet sent, when its storage was cleared. */
export const lost: Signal<{ entries: number } | null> = signal(null);

const deviceId = async () => (await read(["meta"], (tx) => getMeta(tx, "device")))?.id;

function readMark(): Mark | null {
  try {
    const mark = JSON.parse(localStorage.getItem(MARK) ?? "null") as Mark | null;
    return mark && typeof mark.held === "number" && typeof mark.device === "string" ? mark : null;
  } catch {
    return null;
  }
}

/** At a start, before the mark is written anew. */
export async function noteLoss(): Promise<void> {
  const mark = readMark();
  if (mark && mark.held > 0 && mark.device !== (await deviceId())) lost.value = { entries: mark.held };
}

/** The person has read it. */
export async function lossSeen(): Promise<void> {
  lost.value = null;
  await rememberHeld(0);
}

export async function rememberHeld(held: number): Promise<void> {
  // A loss not yet read stays written down.
  if (lost.value) return;
  const device = await deviceId();
  try {
    localStorage.setItem(MARK, JSON.stringify({ device, held }));
  } catch {
    // Without the mark only the notice of a loss is missing.
  }
}
