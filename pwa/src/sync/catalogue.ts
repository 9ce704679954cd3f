/** The catalogue on the phone: kept as it was last read, asked for again by its ETag. */
import type { Catalogue } from "../catalogue";
import { getMeta, putMeta, read, write } from "../store/database";
import { call } from "./service";

export async function storedCatalogue(): Promise<Catalogue | null> {
  return ((await read(["meta"], (tx) => getMeta(tx, "catalogue")))?.body as Catalogue | undefined) ?? null;
}

/** A newer catalogue, or null where there is none or no signal. */
export async function fetchCatalogue(token: string): Promise<Catalogue | null> {
  const etag = (await read(["meta"], (tx) => getMeta(tx, "catalogue")))?.etag;
  const answer = await call({ method: "GET", path: "/catalogue", token, ...(etag && { headers: { "If-None-Match": etag } }) });
  if (answer.status !== 200 || !isCatalogue(answer.body)) return null;
  const body = answer.body;
  // A full phone works with it until it is closed.
  await write(["meta"], (tx) => putMeta(tx, "catalogue", { etag: answer.headers.get("ETag"), body })).catch(() => undefined);
  return body;
}

const isCatalogue = (body: unknown): body is Catalogue =>
  typeof body === "object" && body !== null && Array.isArray((body as Catalogue).quantities);
