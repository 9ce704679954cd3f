/** Brings the phone's mirror up to date by the changes feed. */
import { noteClock } from "../store/clock";
import { getMeta, read, write } from "../store/database";
import { applyChanges, feedRead, type Change } from "../store/mirror";
import { readClock } from "./clock";
import { call, Halt, notOurs } from "./service";

const PAGE = 500;

interface Page {
  epoch: string;
  changes: Change[];
  next: number;
  more: boolean;
  server_time?: string;
}

/** Reads one page; true where there is more to read. `changed` is told where the page brought something. */
export async function pullPage(token: string, changed: () => void): Promise<boolean> {
  const after = (await read(["meta"], (tx) => getMeta(tx, "cursor"))) ?? 0;
  const sentAt = Date.now();
  const answer = await call({ method: "GET", path: `/changes?after=${after}&limit=${PAGE}`, token });
  if (answer.problem) throw new Halt(answer);
  if (!isPage(answer.body)) throw notOurs();
  const { epoch, changes, next, more, server_time } = answer.body;
  const clock = readClock(sentAt, Date.now(), server_time);
  const set = clock && (await write(["meta", "outbox"], (tx) => noteClock(tx, clock)));
  const applied = await applyChanges(epoch, after, changes, next);
  if (changes.length > 0 || set) changed();
  return !applied || more;
}

/** Reads to the end; true where bikes or jobs that the service has lost are now to be sent. */
export async function pullAll(token: string, changed: () => void): Promise<boolean> {
  while (await pullPage(token, changed));
  const epoch = await read(["meta"], (tx) => getMeta(tx, "epoch"));
  return epoch !== undefined && feedRead(epoch);
}

function isPage(body: unknown): body is Page {
  const { epoch, changes, next, more } = (body ?? {}) as Partial<Page>;
  return typeof epoch === "string" && Array.isArray(changes) && typeof next === "number" && typeof more === "boolean";
}
