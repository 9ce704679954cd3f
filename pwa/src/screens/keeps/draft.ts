/** A table of the shop's own, changed row by row here and put in force as a whole. */
import { useEffect, useState } from "preact/hooks";
import { refreshCatalogue } from "../../book";
import type { Kept } from "./kept";

export interface Table<Row> { own: boolean; in_force_from: string | null; by: string | null; rows: Row[]; left_out: Row[] }

export interface Draft<Row extends { id: string }> {
  rows: Row[];
  out: Row[];
  /** Rows that differ from what is in force, left out ones and moved ones counted. */
  changes: number;
  set: (row: Row) => void;
  leaveOut: (id: string) => void;
  putBack: (id: string) => void;
  move: (id: string, by: 1 | -1) => void;
  drop: () => void;
}

/** The draft begins as what is in force, and again whenever that is written. */
export function useDraft<Row extends { id: string }>(inForce: Table<Row> | null): Draft<Row> {
  const [rows, setRows] = useState<Row[]>([]);
  const [out, setOut] = useState<Row[]>([]);
  const drop = () => {
    setRows(inForce?.rows ?? []);
    setOut(inForce?.left_out ?? []);
  };
  useEffect(drop, [inForce]);
  return {
    rows, out, changes: inForce ? changed(inForce, rows) : 0, drop,
    set: (row) => setRows(rows.some((r) => r.id === row.id) ? rows.map((r) => (r.id === row.id ? row : r)) : [...rows, row]),
    leaveOut: (id) => {
      setOut([...out, ...rows.filter((r) => r.id === id)]);
      setRows(rows.filter((r) => r.id !== id));
    },
    putBack: (id) => {
      const back = out.filter((r) => r.id === id);
      const place = inForce?.rows.findIndex((r) => r.id === id) ?? -1;
      setRows(place < 0 ? [...rows, ...back] : [...rows.slice(0, place), ...back, ...rows.slice(place)]);
      setOut(out.filter((r) => r.id !== id));
    },
    move: (id, by) => setRows(moved(rows, id, by)),
  };
}

export function moved<Row extends { id: string }>(rows: readonly Row[], id: string, by: 1 | -1): Row[] {
  const next = [...rows];
  const from = next.findIndex((r) => r.id === id);
  const to = from + by;
  if (from < 0 || to < 0 || to >= next.length) return next;
  [next[from], next[to]] = [next[to]!, next[from]!];
  return next;
}

function changed<Row extends { id: string }>({ rows }: Table<Row>, draft: readonly Row[]): number {
  const before = new Map(rows.map((r) => [r.id, JSON.stringify(r)]));
  const now = new Set(draft.map((r) => r.id));
  const edited = draft.filter((r) => before.get(r.id) !== JSON.stringify(r)).length;
  const gone = rows.filter((r) => !now.has(r.id)).length;
  const order = rows.filter((r) => now.has(r.id)).some((r, i) => draft.filter((d) => before.has(d.id))[i]?.id !== r.id);
  return edited + gone + (order ? 1 : 0);
}

/** Writes the whole table; null goes back to the catalogue's own. */
export function putTable<Row, T>(kept: Kept<T>, put: (rows: Row[] | null) => Promise<T>, rows: Row[] | null, done?: () => void): void {
  kept.write(async () => {
    const answer = await put(rows);
    void refreshCatalogue();
    return answer;
  }, done);
}

/** An id of the catalogue's form for something the shop has named itself. */
export function idOf(label: string, taken: readonly string[]): string {
  const plain = label.toLowerCase().normalize("NFD").replace(/[^a-z0-9]+/g, "_").replace(/^[^a-z]+|_+$/g, "").slice(0, 50) || "own";
  let id = plain;
  for (let n = 2; taken.includes(id); n++) id = `${plain}_${n}`;
  return id;
}
