/** Where a picture comes from: from this phone while it holds it, otherwise from the service. */
import { signal, type Signal } from "@preact/signals";
import { session } from "../../book";
import { sha256 as hashOf } from "../../photo";
import type { NewPhoto } from "../../store/database";
import { findPhoto } from "../../store/photos";
import { API } from "../../sync/service";

const TIMEOUT_MS = 60_000;

export type Picture = { url: string } | "loading" | "no_signal" | "not_come";

const known = new Map<string, Signal<Picture>>();

export function picture(sha256: string): Signal<Picture> {
  const found = known.get(sha256) ?? signal<Picture>("loading");
  known.set(sha256, found);
  return found;
}

/** A photo just made is shown at once. */
export function here({ sha256, bytes }: NewPhoto): void {
  const at = picture(sha256);
  if (typeof at.value === "string") at.value = { url: URL.createObjectURL(new Blob([bytes], { type: "image/jpeg" })) };
}

/** Looks for it, unless it is here. */
export async function look(sha256: string): Promise<void> {
  if (typeof picture(sha256).value !== "string") return;
  const held = await findPhoto(sha256);
  if (held) return here(held);
  const got = await fetched(sha256);
  if (typeof got === "string") picture(sha256).value = got;
  else here({ sha256, bytes: got });
}

/** From the service, which needs to be told who asks; a picture that is not this one is none. */
async function fetched(sha256: string): Promise<ArrayBuffer | "no_signal" | "not_come"> {
  try {
    const answer = await fetch(`${API}/photos/${sha256}`, {
      headers: { Authorization: `Bearer ${session.value?.token}` }, credentials: "omit", redirect: "manual",
      signal: AbortSignal.timeout(TIMEOUT_MS),
    });
    const type = answer.headers.get("Content-Type") ?? "";
    if (answer.status === 404 && type.startsWith("application/problem+json")) return "not_come";
    const bytes = await answer.arrayBuffer();
    return answer.ok && (await hashOf(bytes)) === sha256 ? bytes : "no_signal";
  } catch {
    return "no_signal";
  }
}
