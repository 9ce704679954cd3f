import { useState } from "preact/hooks";
import { num } from "../../look/number";
import { QuantityLine } from "../../look/quantity_line";
import { scaleFor } from "../bench/line";
import { gearWords } from "../entry_words";
import { quantityState, whiskerOf, type Work } from "../work";
import type { Compared } from "./answer";
import { ComparedPhotos } from "./photos";

const AT_FIRST = 6;

/** As found against handed over, one line a quantity; what changed for certain comes first, the quiet rest on demand. */
export function ComparedLines({ work, rows, base }: { work: Work; rows: Compared[]; /** The job it is compared with. */ base: string | null }) {
  const told = rows.filter((row) => row.now?.value != null && row.then?.value != null).sort((a, b) => weight(b) - weight(a));
  const silent = rows.filter((row) => !told.includes(row) && row.now);
  const [all, setAll] = useState(false);
  const loud = told.filter((row) => row.change?.real || row.now!.verdict === "outside").length;
  const shown = all ? told : told.slice(0, Math.max(loud, AT_FIRST));
  return (
    <>
      {shown.length > 0 && <ul class="qs rv">{shown.map((row) => <Line key={row.quantity + (row.gear?.cog ?? "")} work={work} row={row} base={base} />)}</ul>}
      {shown.length < told.length && <button type="button" onClick={() => setAll(true)}>Show the other {told.length - shown.length}</button>}
      {told.length > 1 && <p class="s mt">{told.length} compared together, so that one does not stand out by luck.</p>}
      {silent.length > 0 && <p class="s mt">Not compared, since one side is missing or no longer holds: {silent.map(nameOf).join("; ")}.</p>}
    </>
  );
}

const weight = (row: Compared): number => (row.change?.real ? 1e9 : 0) + Math.abs(row.change?.delta ?? 0) / (row.change?.u || 1);

function nameOf(row: Compared): string {
  return row.gear ? `${row.label}, ${gearWords(row.gear)}` : row.label;
}

function Line({ work, row, base }: { work: Work; row: Compared; base: string | null }) {
  const quantity = work.cat.quantities.find((q) => q.id === row.quantity);
  const now = row.now!;
  if (!quantity || now.value === null) return null;
  const state = quantityState(work, quantity, row.gear);
  const was = row.then!.value!;
  const n = (v: number) => num(v, Math.max(quantity.digits, quantity.input === "hanger" ? 1 : 2), quantity.signed);
  return (
    <QuantityLine name={nameOf(row)} unit={row.unit} shown={n(now.value)} verdict={now.verdict} caption={`was ${n(was)}`}
      scale={scaleFor({ ...state, baseline: was })} value={now.value} whisker={whiskerOf({ value: now.value, u: now.u ?? 0 })}
      was={was} moved={row.change?.real ? "yes" : row.change?.delta ? "no" : null}>
      <p class="x">{changeWords(row, quantity.digits)}</p>
      <ComparedPhotos work={work} row={row} base={base} />
    </QuantityLine>
  );
}

/** By how much, and whether measuring explains it. */
export function changeWords(row: Compared, digits: number): preact.ComponentChildren {
  const change = row.change;
  if (!change) return row.why_not ?? "";
  const size = num(Math.abs(change.delta), Math.max(digits, 1));
  if (!Number(size.replace(",", "."))) return change.real ? "Turned, though its size is the same." : "As handed over.";
  const words = `${size} ${change.delta > 0 ? "more" : "less"}`;
  return change.real ? <><b>{words},</b> beyond what measuring explains.</> : `${words}, could be measuring.`;
}
