/** The readings of a gauge study as a table: parts in rows, each person's repeats in columns. */

export interface StudyTable {
  parts: string[];
  people: string[];
  repeats: number;
  /** As typed, row by row; one row holds all repeats of the first person, then those of the next. */
  cells: string[];
}

export interface StudyReading { part: string; person: string; value: number }

export const LEAST = { parts: 2, people: 2, repeats: 2 } as const;
export const MOST = { parts: 30, people: 5, repeats: 5 } as const;

const width = (t: Pick<StudyTable, "people" | "repeats">): number => t.people.length * t.repeats;

export function emptyTable(parts: number, people: string[], repeats: number): StudyTable {
  const names = Array.from({ length: parts }, (_, i) => String(i + 1));
  return { parts: names, people, repeats, cells: Array<string>(parts * people.length * repeats).fill("") };
}

/** Another size; what was typed stays with its part, person and repeat. */
export function resized(t: StudyTable, parts: number, people: number, repeats: number): StudyTable {
  const next: StudyTable = {
    parts: Array.from({ length: parts }, (_, i) => t.parts[i] ?? String(i + 1)),
    people: Array.from({ length: people }, (_, i) => t.people[i] ?? `person ${i + 1}`), repeats, cells: [],
  };
  for (let part = 0; part < parts; part++) {
    for (let person = 0; person < people; person++) {
      for (let repeat = 0; repeat < repeats; repeat++) {
        const there = part < t.parts.length && person < t.people.length && repeat < t.repeats;
        next.cells.push(there ? t.cells[part * width(t) + person * t.repeats + repeat]! : "");
      }
    }
  }
  return next;
}

/** Part, person and repeat of a cell. */
export function placeOf(t: StudyTable, cell: number): { part: string; person: string; repeat: number } {
  const column = cell % width(t);
  return { part: t.parts[Math.floor(cell / width(t))]!, person: t.people[Math.floor(column / t.repeats)]!, repeat: (column % t.repeats) + 1 };
}

const number = (text: string): number => {
  const plain = text.trim().replace(",", ".").replace("−", "-");
  return /^[+-]?(\d+\.?\d*|\.\d+)$/.test(plain) ? Number(plain) : Number.NaN;
};

/** Readings of a full table; null while a cell is empty or holds no number. */
export function readingsOf(t: StudyTable): StudyReading[] | null {
  const readings = t.cells.map((text, cell) => ({ part: placeOf(t, cell).part, person: placeOf(t, cell).person, value: number(text) }));
  return readings.every((r) => Number.isFinite(r.value)) ? readings : null;
}

export const missing = (t: StudyTable): number => t.cells.filter((text) => !Number.isFinite(number(text))).length;

/** A pasted text: lines of "part, person, value", or a block of numbers. A comma is a decimal comma beside tabs, semicolons or spaces. */
export function pasted(t: StudyTable, from: number, text: string): StudyTable | null {
  const lines = text.split(/\r?\n/).filter((line) => line.trim());
  const between = lines.some((l) => l.includes("\t")) ? /\t/ : lines.some((l) => l.includes(";")) ? /;/ : /[\s]+/.test(text.trim().replace(/\n/g, "")) && !/,\s/.test(text) ? /\s+/ : /,\s*|\s+/;
  const rows = lines.map((line) => line.trim().split(between).map((cell) => cell.trim()));
  return asList(rows) ?? asBlock(t, from, rows);
}

/** One reading a line, as the service takes them; a first line of words is a heading. */
function asList(all: string[][]): StudyTable | null {
  const rows = Number.isNaN(number(all[0]?.[2] ?? "")) ? all.slice(1) : all;
  if (!rows.length || !rows.every((r) => r.length === 3 && Number.isNaN(number(r[1]!)) && Number.isFinite(number(r[2]!)))) return null;
  const [parts, people] = [[...new Set(rows.map((r) => r[0]!))], [...new Set(rows.map((r) => r[1]!))]];
  const of = (part: string, person: string) => rows.filter((r) => r[0] === part && r[1] === person).map((r) => r[2]!);
  const repeats = Math.max(...parts.flatMap((part) => people.map((person) => of(part, person).length)));
  if (parts.length > MOST.parts || people.length > MOST.people || repeats > MOST.repeats) return null;
  const cells = parts.flatMap((part) => people.flatMap((person) => Array.from({ length: repeats }, (_, i) => of(part, person)[i] ?? "")));
  return { parts, people, repeats, cells };
}

/** Numbers into the cells from the one in hand on; what lies beyond the table is left out. */
function asBlock(t: StudyTable, from: number, rows: string[][]): StudyTable | null {
  const numbers = rows.filter((row) => row.some((cell) => Number.isFinite(number(cell))));
  if (!numbers.length || !numbers.every((row) => row.every((cell) => !cell || Number.isFinite(number(cell))))) return null;
  const cells = [...t.cells];
  const [top, left] = [Math.floor(from / width(t)), from % width(t)];
  numbers.forEach((row, r) => row.forEach((cell, c) => {
    if (top + r < t.parts.length && left + c < width(t) && cell) cells[(top + r) * width(t) + left + c] = cell;
  }));
  return { ...t, cells };
}
