/** Brings the phone's mirror up to date by the changes feed. */
import type { Entry } from "../nouns";
import { isNews, noteClock, wasSet } from "../store/clock";
import { getMeta, read, write } from "../store/database";
import { applyChanges, feedRead, type Change } from "../store/mirror";
import { readClock } from "./clock";
import type { Exchange } from "./send";
import { call, Halt, notOurs } from "./service";

const PAGE = 500;

interface Page {
  epoch: string;
  changes: Change[];
  next: number;
  more: boolean;
  server_time?: string;
}

/**
 * Reads one page; true where there is more to read. `changed` is told what the page brought, as `Hooks` has it, and
 * `unwritten` what could not be written down: sending does not wait for that.
 */
export async function pullPage({ token, changed, unwritten }: Exchange): Promise<boolean> {
  const [after = 0, known, before, device] = await read(["meta"], (tx) =>
    Promise.all([getMeta(tx, "cursor"), getMeta(tx, "epoch"), getMeta(tx, "clock"), getMeta(tx, "device")]));
  const sentAt = Date.now();
  const answer = await call({ method: "GET", path: `/changes?after=${after}&limit=${PAGE}`, token });
  if (answer.problem) throw new Halt(answer);
  if (!isPage(answer.body)) throw notOurs();
  const { epoch, changes, next, more, server_time } = answer.body;
  const clock = readClock(sentAt, Date.now(), server_time);
  const set = clock !== null && wasSet(before, clock);
  try {
    const moved = clock !== null && isNews(before, clock, device!) && (await write(["meta", "outbox"], (tx) => noteClock(tx, clock)));
    // Most pages bring nothing: then no save waits for a transaction over all stores.
    const news = known !== epoch || changes.length > 0 || next !== after;
    const applied = !news || (await applyChanges(epoch, after, changes, next));
    if (changes.length > 0 || moved) changed(known === epoch && !moved ? jobsOfEntries(changes) : undefined);
    return !applied || more;
  } catch (error) {
    // What a restored service lacks, and what was saved before the clock was set, must be known before anything goes out.
    if (set || known !== epoch) throw error;
    unwritten(error);
    return false;
  }
}

/** The jobs whose entries these are; undefined where something else has changed too. */
function jobsOfEntries(changes: Change[]): string[] | undefined {
  return changes.every(({ noun }) => noun === "entry") ? changes.map(({ body }) => (body as Entry).job_id) : undefined;
}

/** Reads to the end; true where bikes or jobs that the service has lost are now to be sent. */
export async function pullAll(own: Exchange): Promise<boolean> {
  while (await pullPage(own));
  const [epoch, restored] = await read(["meta"], (tx) => Promise.all([getMeta(tx, "epoch"), getMeta(tx, "restored")]));
  return epoch !== undefined && restored === true && feedRead(epoch);
}

function isPage(body: unknown): body is Page {
  const { epoch, changes, next, more } = (body ?? {}) as Partial<Page>;
  return typeof epoch === "string" && Array.isArray(changes) && typeof next === "number" && typeof more === "boolean";
}
