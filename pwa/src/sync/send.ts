/** Sends what the phone holds: bikes, then jobs, then entries in device order. */
import type { Bike, Job, ProblemBody } from "../nouns";
import { getMeta, read, write, type HeldEdit, type HeldEntry, type Noun } from "../store/database";
import { noteClock } from "../store/clock";
import { confirmEdit, holdsEntries, openEdits, postponeEdit, rebased, rebaseEdit, refuseEdit } from "../store/edits";
import { EVERYTHING, noteBackup, noteEpoch } from "../store/mirror";
import { putAside, queuedAfter, settle, type Result } from "../store/outbox";
import type { Changed } from "../store/shown";
import { localTime, readClock } from "./clock";
import { call, Halt, NOT_OURS, NOTHING, notOurs, type Answer } from "./service";

/** The version of the contract this app was written for. */
const CONTRACT = 1;
const MOST_ENTRIES = 200;
const FEW = 25;
/** Under the service's 256 KiB, with room for the envelope. */
const MOST_BYTES = 240 * 1024;
const MOST_MERGES = 4;
/** How many get through, as far as is known. */
let most = MOST_ENTRIES;
const fewer = (batch: HeldEntry[]) => Math.max(1, Math.floor(batch.length / 2));
/** The service has understood a bike or job and will not take it as it is. Others, as 400 and 415, tell of the way it came. */
const REFUSALS = new Set([409, 413, 422]);

/** What one exchange with the service works with, and who is told of it. */
export interface Exchange {
  token: string;
  /** Told which entries are under way, for the screens; none when the answer is there. */
  underWay: (ids: string[]) => void;
  /** Told when an answer has been written down, and which jobs it was about. */
  changed: Changed;
  /** Told what could not be written down: a full phone still sends all it holds, and again once there is room. */
  unwritten: (error: unknown) => void;
}

/** The service's own refusal of a bike or job. */
const refuses = ({ status, problem }: Answer): boolean => REFUSALS.has(status) && problem !== NOT_OURS;

/** Is an entry to blame that a whole batch was not taken? A proxy blames the size of all, at most. */
function blames({ status, problem }: Answer, batch: HeldEntry[]): boolean {
  if (status === 413) return problem !== NOT_OURS || batch.length > 1;
  return (problem?.errors ?? []).some(({ pointer }) => pointer.startsWith("/entries"));
}

/** A job's bike that is on its way by another phone, or an id of a newer catalogue. */
const UNKNOWN = /:unknown-(bike|job|catalogue-id)$/;

/** Sends all that can be sent. Throws Halt where the rest has to wait; true where the service asked for some again. */
export async function sendAll(sender: Exchange): Promise<boolean> {
  const heldBikes = await sendEdits(sender, "bike", new Set());
  const heldJobs = await sendEdits(sender, "job", heldBikes);
  const postponed = (await openEdits("job")).some((edit) => edit.retry_since !== undefined);
  return (await sendEntries(sender, heldBikes, heldJobs)) || postponed;
}

/** Returns the ids of the bikes or jobs whose entries have to wait. */
async function sendEdits<N extends Noun>(sender: Exchange, noun: N, heldBikes: Set<string>): Promise<Set<string>> {
  const taken = new Map<string, number>();
  for (const edit of await openEdits(noun)) {
    if (edit.state !== "queued") continue;
    if (noun === "job" && heldBikes.has((edit as HeldEdit<"job">).body.bike_id)) continue;
    await sendEdit(sender, edit, taken);
    sender.changed();
  }
  return new Set((await openEdits(noun)).filter((edit) => holdsEntries(edit) && taken.get(edit.id) !== edit.rev).map((edit) => edit.id));
}

async function sendEdit<N extends Noun>(sender: Exchange, first: HeldEdit<N>, taken: Map<string, number>): Promise<void> {
  const note = (writing: Promise<void>) => writing.catch(sender.unwritten);
  let edit: HeldEdit<N> | undefined = first;
  for (let tries = 0; edit?.state === "queued" && tries < MOST_MERGES; tries++) {
    const { id, ...body } = edit.body;
    const path = `/${edit.noun}s/${id}`;
    const answer: Answer = await call({ method: "PUT", path, token: sender.token, body: { ...body, base_seq: edit.base_seq } });
    if (answer.problem === null) {
      if (!isNoun(answer.body, id)) throw notOurs();
      taken.set(id, edit.rev);
      return note(confirmEdit(edit, answer.body));
    }
    const current = answer.status === 409 ? answer.problem["current"] : undefined;
    if (isNoun(current, id)) {
      const mine: HeldEdit<N> = edit;
      edit = await rebaseEdit(edit.noun, current).catch((error: unknown) => {
        sender.unwritten(error);
        return rebased(mine, current);
      });
    } else if (answer.status === 409 && UNKNOWN.test(answer.problem.type ?? "")) {
      return note(postponeEdit(edit, answer.problem));
    } else if (refuses(answer)) {
      return note(refuseEdit(edit, answer.problem));
    } else {
      throw new Halt(answer);
    }
  }
}

const isNoun = (body: unknown, id: string): body is Bike | Job =>
  typeof body === "object" && body !== null && (body as Bike).id === id && typeof (body as Bike).seq === "number";

async function sendEntries(sender: Exchange, heldBikes: Set<string>, heldJobs: Set<string>): Promise<boolean> {
  const bikeOf = heldBikes.size ? await bikesOfJobs() : new Map<string, string>();
  const waits = (held: HeldEntry) => heldJobs.has(held.job_id) || heldBikes.has(bikeOf.get(held.job_id) ?? "");
  let after = 0;
  let again = false;
  for (;;) {
    const queued = await queuedAfter(after, most);
    const last = queued.at(-1);
    if (!last) return again;
    const batch = ofOneClock(fitting(queued.filter((held) => !waits(held))));
    if (batch.length === 0) {
      after = last.device_seq;
      continue;
    }
    const refused = await sendBatch(sender, batch);
    if (refused === null) {
      const complete = batch.length === queued.filter((held) => !waits(held)).length;
      after = complete ? last.device_seq : batch.at(-1)!.device_seq;
      most = Math.min(MOST_ENTRIES, Math.ceil(most * 1.25));
      again ||= await anyRetried(batch);
    } else if (batch.length > 1) {
      // Too large, or one entry spoils the request: halves until it stands alone.
      most = fewer(batch);
    } else {
      await putAside(batch[0]!, refused).catch(sender.unwritten);
      after = batch[0]!.device_seq;
      sender.changed();
      most = MOST_ENTRIES;
    }
  }
}

async function bikesOfJobs(): Promise<Map<string, string>> {
  const [rows, edits] = await Promise.all([
    read(["jobs"], (tx) => tx.objectStore("jobs").getAll()), openEdits("job"),
  ]);
  return new Map([...rows.map((row) => row.body), ...edits.map((edit) => edit.body)].map((job) => [job.id, job.bike_id]));
}

/** As many from the front as one request may carry. */
function fitting(entries: HeldEntry[]): HeldEntry[] {
  const encoder = new TextEncoder();
  let bytes = 0;
  const over = entries.findIndex((held) => (bytes += encoder.encode(JSON.stringify(held.entry)).length + 1) > MOST_BYTES);
  return over < 0 ? entries : entries.slice(0, Math.max(1, over));
}

/** As many from the front as were saved before the clock was set, or after. */
function ofOneClock(entries: HeldEntry[]): HeldEntry[] {
  const other = entries.findIndex((held) => held.offset_ms !== entries[0]!.offset_ms);
  return other < 0 ? entries : entries.slice(0, other);
}

async function anyRetried(batch: HeldEntry[]): Promise<boolean> {
  const still = await queuedAfter(batch[0]!.device_seq - 1, 1);
  return still.length > 0 && still[0]!.device_seq <= batch.at(-1)!.device_seq;
}

/** Sends one batch and writes down the answer. Returns the problem where the whole request was refused. */
async function sendBatch(sender: Exchange, batch: HeldEntry[]): Promise<ProblemBody | null> {
  const [device, epoch, clock] = await read(["meta"], (tx) =>
    Promise.all([getMeta(tx, "device"), getMeta(tx, "epoch"), getMeta(tx, "clock")]));
  const sentAt = Date.now();
  // Sent by the clock they were saved by, also where it has been set since.
  const { offset_ms } = batch[0]!;
  const byThatClock = offset_ms === undefined || !clock ? sentAt : sentAt + clock.offset_ms - offset_ms;
  sender.underWay(batch.map((held) => held.id));
  try {
    const answer = await call({
      method: "POST",
      path: "/entries",
      token: sender.token,
      body: {
        device_id: device!.id, contract: CONTRACT, ...(epoch !== undefined && { epoch }),
        sent_at: localTime(new Date(byThatClock)), entries: batch.map((held) => held.entry),
      },
    });
    if (answer.problem) {
      if (blames(answer, batch)) return answer.problem;
      // On a slow network less may get through in time; so few do on any. Without a network, this tells nothing.
      if (answer.problem === NOTHING && batch.length > FEW && navigator.onLine !== false) most = Math.max(FEW, fewer(batch));
      throw new Halt(answer);
    }
    if (!answers(batch, answer.body)) throw notOurs();
    const clockSet = await writeDown(batch, answer.body, sentAt).catch(sender.unwritten);
    sender.changed(epoch === answer.body.epoch && !clockSet ? batch.map((held) => held.job_id) : undefined);
    return null;
  } finally {
    sender.underWay([]);
  }
}

interface BatchAnswer {
  epoch: string;
  server_time: string;
  backed_up_to: number | null;
  results: Result[];
}

/** Is this the service's answer to exactly this batch? Anything else confirms nothing. */
function answers(batch: HeldEntry[], body: unknown): body is BatchAnswer {
  const { epoch, results } = (body ?? {}) as Partial<BatchAnswer>;
  return (
    typeof epoch === "string" && Array.isArray(results) && results.length === batch.length &&
    results.every((result, i) => (result?.id === batch[i]!.id || result?.id === null) && typeof result.status === "string")
  );
}

/** Says whether the phone's clock was set since the answer before. */
async function writeDown(batch: HeldEntry[], body: BatchAnswer, sentAt: number): Promise<boolean> {
  const clock = readClock(sentAt, Date.now(), body.server_time);
  return write([...EVERYTHING], async (tx) => {
    await noteEpoch(tx, body.epoch);
    await settle(tx, batch, body.results, body.epoch);
    await noteBackup(tx, body.backed_up_to, body.epoch);
    return clock !== null && noteClock(tx, clock);
  });
}

