/** Bikes and jobs written on this phone: held until confirmed and backed up, merged where another phone was first. */
import type { Bike, BikeDraft, Job, JobDraft, ProblemBody } from "../nouns";
import { getMeta, read, write, type Drafts, type HeldEdit, type Mirrored, type Noun, type Transaction } from "./database";
import { merge, same, taking } from "./merge";

const BIKE_FIELDS = [
  "id", "label", "frame_number", "serials", "customer_id", "drivetrain", "wheel", "brakes", "tyres",
] as const satisfies readonly (keyof BikeDraft)[];
const JOB_FIELDS = [
  "id", "bike_id", "kind", "opened_at", "comeback_of", "missing_parts", "complaint", "since_last",
] as const satisfies readonly (keyof JobDraft)[];

/** Versions remembered of one bike or job between two backups. */
const MOST_EARLIER = 20;

/** Fields of a bike that entries are judged by: while these clash, the bike's entries wait. */
const JUDGED_BY = /^(drivetrain|wheel|brakes|tyres)\b/;

const mirrorOf = (noun: Noun) => (noun === "bike" ? "bikes" : "jobs") as "bikes" | "jobs";
type Row = Mirrored<Bike | Job>;

/** What a person writes of a noun, without what the service adds. */
export function draftOf<N extends Noun>(noun: N, body: object): Drafts[N] {
  const known: readonly string[] = noun === "bike" ? BIKE_FIELDS : JOB_FIELDS;
  const kept = Object.entries(body).filter(([key, value]) => known.includes(key) && value !== undefined && value !== null);
  return Object.fromEntries(kept) as unknown as Drafts[N];
}

/** Keeps a bike or job as this phone wants it. */
export async function putEdit<N extends Noun>(noun: N, draft: Drafts[N]): Promise<HeldEdit<N>> {
  return write(["meta", "edits", mirrorOf(noun)], async (tx) => {
    const body = draftOf(noun, draft);
    const before = (await tx.objectStore("edits").get([noun, draft.id])) as HeldEdit<N> | undefined;
    const row = (await tx.objectStore(mirrorOf(noun)).get(draft.id)) as Row | undefined;
    const open = before && before.state !== "confirmed" ? before : undefined;
    const current = row && row.epoch === ((await getMeta(tx, "epoch")) ?? null);
    const edit: HeldEdit<N> = {
      noun, id: draft.id, body,
      base: open ? open.base : row ? draftOf(noun, row.body) : null,
      base_seq: open ? open.base_seq : current ? row.body.seq : null,
      earlier: [...(before?.earlier ?? []), before?.base, before?.body, row && draftOf(noun, row.body)]
        .filter((version) => !!version).slice(-MOST_EARLIER),
      rev: (before?.rev ?? 0) + 1,
      state: "queued",
      saved_at: open?.saved_at ?? Date.now(),
    };
    await tx.objectStore("edits").put(edit);
    return edit;
  });
}

export async function openEdits<N extends Noun>(noun: N, tx?: Transaction<IDBTransactionMode>): Promise<HeldEdit<N>[]> {
  const all = tx
    ? await tx.objectStore("edits").getAll(IDBKeyRange.bound([noun, ""], [noun, "\uffff"]))
    : await read(["edits"], (own) => own.objectStore("edits").getAll(IDBKeyRange.bound([noun, ""], [noun, "\uffff"])));
  return all.filter((edit) => edit.state !== "confirmed") as HeldEdit<N>[];
}

/** Does this edit keep back the entries of its bike or job? */
export function holdsEntries(edit: HeldEdit): boolean {
  if (edit.state === "clash") return (edit.clashes ?? []).some((clash) => edit.noun === "job" || JUDGED_BY.test(clash.field));
  return edit.state === "queued" || edit.state === "refused";
}

/** The service has taken the edit `sent` and answered with `body`. */
export async function confirmEdit<N extends Noun>(sent: HeldEdit<N>, body: Bike | Job): Promise<void> {
  await write(["meta", "edits", mirrorOf(sent.noun)], async (tx) => {
    const epoch = (await getMeta(tx, "epoch")) ?? null;
    await mirrorNoun(tx, sent.noun, body, epoch);
    const edit = await tx.objectStore("edits").get([sent.noun, sent.id]);
    if (!edit) return;
    const { problem: _, clashes: __, retry_since: ___, again: ____, ...rest } = edit;
    if (edit.rev === sent.rev) {
      await tx.objectStore("edits").put({ ...rest, state: "confirmed", seq: body.seq ?? undefined, epoch: epoch ?? undefined });
    } else {
      // Edited again while it was under way: the newer edit starts from what the service now has.
      await tx.objectStore("edits").put({ ...rest, base: draftOf(sent.noun, body), base_seq: body.seq });
    }
  });
}

/** The service lacks something the edit refers to (a bike on its way, a catalogue id of a newer one): it stays queued. */
export async function postponeEdit(sent: HeldEdit, problem: ProblemBody): Promise<void> {
  await write(["edits"], async (tx) => {
    const edit = await tx.objectStore("edits").get([sent.noun, sent.id]);
    if (edit?.rev !== sent.rev) return;
    await tx.objectStore("edits").put({ ...edit, problem, retry_since: edit.retry_since ?? Date.now() });
  });
}

export async function refuseEdit(sent: HeldEdit, problem: ProblemBody): Promise<void> {
  await write(["edits"], async (tx) => {
    const edit = await tx.objectStore("edits").get([sent.noun, sent.id]);
    if (edit?.rev === sent.rev) await tx.objectStore("edits").put({ ...edit, state: "refused", problem });
  });
}

/** Someone else was first: brings the edit onto their version. */
export async function rebaseEdit<N extends Noun>(noun: N, current: Bike | Job): Promise<HeldEdit<N> | undefined> {
  return write(["meta", "edits", mirrorOf(noun)], async (tx) => {
    await mirrorNoun(tx, noun, current, (await getMeta(tx, "epoch")) ?? null);
    return rebaseOpenEdit(tx, noun, current);
  });
}

/** As `rebaseEdit`, inside a transaction that has already written the mirror. */
export async function rebaseOpenEdit<N extends Noun>(
  tx: Transaction, noun: N, current: Bike | Job,
): Promise<HeldEdit<N> | undefined> {
  const edit = (await tx.objectStore("edits").get([noun, current.id])) as HeldEdit<N> | undefined;
  if (!edit || edit.state === "confirmed" || edit.base_seq === current.seq) return edit;
  const brought = { ...rebased(edit, current), rev: edit.rev + 1 };
  await tx.objectStore("edits").put(brought);
  return brought;
}

/** The edit as it is on top of the service's version. */
export function rebased<N extends Noun>(edit: HeldEdit<N>, current: Bike | Job): HeldEdit<N> {
  const theirs = draftOf(edit.noun as N, current);
  const { body, clashes } = merge(edit.base, edit.body, theirs, edit.again ? edit.earlier : [], edit.clashes?.map(({ field }) => field));
  const { problem: _, clashes: __, retry_since: ___, ...rest } = edit;
  const clashing = clashes.length > 0;
  return {
    ...rest, body, base: theirs, base_seq: current.seq, state: clashing ? "clash" : "queued", ...(clashing && { clashes }),
  };
}

/** A person withdraws a refused edit, or decides a clash for the other: the service's version stands, where they clash alone. */
export async function dropEdit(noun: Noun, id: string): Promise<void> {
  await write(["edits", mirrorOf(noun)], async (tx) => {
    // Without a version of the service's to fall back on, dropping would lose the bike or job itself.
    const held = await tx.objectStore("edits").get([noun, id]);
    if (!held || !(await tx.objectStore(mirrorOf(noun)).get(id))) return;
    const { clashes, ...edit } = held;
    const body = (clashes ?? []).reduce((mine, { field }) => taking(mine, edit.base!, field), edit.body);
    if (!clashes || same(body, edit.base)) await tx.objectStore("edits").delete([noun, id]);
    else await tx.objectStore("edits").put({ ...edit, body, rev: edit.rev + 1, state: "queued" });
  });
}

async function mirrorNoun(tx: Transaction, noun: Noun, body: Bike | Job, epoch: string | null): Promise<void> {
  if (noun === "bike") await tx.objectStore("bikes").put({ id: body.id, body: body as Bike, epoch });
  else await tx.objectStore("jobs").put({ id: body.id, body: body as Job, epoch });
}

export async function dropBackedUpEdits(tx: Transaction, backedUpTo: number, epoch: string): Promise<void> {
  for (const edit of await tx.objectStore("edits").index("state").getAll("confirmed")) {
    if (edit.epoch === epoch && edit.seq !== undefined && edit.seq <= backedUpTo) {
      await tx.objectStore("edits").delete([edit.noun, edit.id]);
    }
  }
}

/** After a restore numbers mean something else: every edit held starts anew, without a version it builds on. */
export async function offerEditsAgain(tx: Transaction): Promise<void> {
  for (const edit of await tx.objectStore("edits").getAll()) {
    const { seq: _, epoch: __, ...rest } = edit;
    const state = edit.state === "confirmed" ? "queued" : edit.state;
    await tx.objectStore("edits").put({ ...rest, base_seq: null, again: true, state });
  }
}

/** Bikes and jobs the restored service no longer has, though this phone has seen them: offered by this phone. */
export async function offerLost(tx: Transaction, epoch: string): Promise<number> {
  let offered = 0;
  for (const noun of ["bike", "job"] as const) {
    for (const row of (await tx.objectStore(mirrorOf(noun)).getAll()) as Row[]) {
      if (row.epoch === epoch || (await tx.objectStore("edits").get([noun, row.id]))) continue;
      await tx.objectStore("edits").put({
        noun, id: row.id, body: draftOf(noun, row.body), base: null, base_seq: null, rev: 1, state: "queued", saved_at: Date.now(),
      });
      offered++;
    }
  }
  return offered;
}

