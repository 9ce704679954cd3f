import { useState } from "preact/hooks";
import { session } from "../../book";
import { count, time } from "../../look/number";
import { nameOf } from "../people";
import type { Draft, Table } from "./draft";

interface ActsProps<Row extends { id: string }> { table: Table<Row> | null; draft: Draft<Row>; busy: boolean; save: (rows: Row[] | null) => void; what: string }

/** Puts a table in force, drops what was changed here, or goes back to the catalogue's own. */
export function TableActs<Row extends { id: string }>({ table, draft, busy, save, what }: ActsProps<Row>) {
  const [sure, setSure] = useState(false);
  if (session.value?.role !== "owner" || !table) return null;
  if (!draft.changes && !table.own) return null;
  if (!draft.changes) {
    return sure
      ? <div class="row mt"><button type="button" class="w" onClick={() => setSure(false)}>Keep the shop's own</button><button type="button" class="w" onClick={() => { setSure(false); save(null); }}>Put them all aside</button></div>
      : <button type="button" class="full mt" onClick={() => setSure(true)}>Back to the catalogue's own {what}…</button>;
  }
  return (
    <div class="row">
      <button type="button" class="big" onClick={draft.drop}>Drop</button>
      <button type="button" class="big go w" aria-disabled={busy} onClick={() => save(draft.rows)}>Put {count(draft.changes, "change")} in force</button>
    </div>
  );
}

export function WhoseTable<Row>({ table, what }: { table: Table<Row>; what: string }) {
  const owner = session.value?.role === "owner";
  return (
    <p class="s mt">
      {table.own && table.in_force_from ? `The shop's own ${what}, in force since ${time(table.in_force_from)}, by ${nameOf(table.by)}.` : `The catalogue's own ${what}.`}
      {owner ? " What you change here is put in force as a whole, from then on." : ` Only the owner's role changes them.`}
    </p>
  );
}
