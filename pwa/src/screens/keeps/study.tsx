import { useEffect, useState } from "preact/hooks";
import { api, catalogue, refreshCatalogue, session } from "../../book";
import type { Catalogue, Quantity } from "../../catalogue";
import { count, num } from "../../look/number";
import { Pad, parsePad } from "../../look/pad";
import { unitLabel } from "../entry_words";
import { Waiting } from "../missing";
import { useOnce } from "../once";
import { Page } from "../page";
import { people } from "../people";
import { implausible } from "../plausible";
import { ShopIndex } from "../shop_index";
import { ROOMY, useWide } from "../wide";
import { PageChoice, Tabs } from "../workshop/pages";
import { Choose } from "../field";
import { wordsOf } from "./kept";
import { StudyResult, type StudyAnswer } from "./study_answer";
import { emptyTable, LEAST, missing, MOST, pasted, placeOf, readingsOf, resized, type StudyTable } from "./study_table";

const FIRST = "guide_pulley_gap";

/** Some parts, measured by some persons, some times over: what the gauge and the hands leave open. */
export function Study() {
  const cat = catalogue.value;
  return cat ? <Shown cat={cat} /> : <Waiting />;
}

interface Told { answer: StudyAnswer | null; problem: string | null }
const NOTHING: Told = { answer: null, problem: null };

function Shown({ cat }: { cat: Catalogue }) {
  const choices = cat.quantities.filter((q) => !q.setting && q.input !== "hanger");
  const [id, setId] = useState(FIRST);
  const q = choices.find((x) => x.id === id) ?? choices[0]!;
  const [table, setTable] = useState(() => emptyTable(5, firstPeople(), 2));
  const [cell, setCell] = useState(0);
  /** The cell that figures were typed into last: in another one the first figure replaces what stands there. */
  const [typed, setTyped] = useState<number | null>(null);
  const [told, tell] = useState<Told>(NOTHING);
  const roomy = useWide(ROOMY);
  const once = useOnce();
  const unit = unitLabel(cat, q.unit);
  const slipOf = (value: number) => implausible(cat, q, value);
  const change = (next: StudyTable) => {
    setTable(next);
    tell(NOTHING);
    if (cell >= next.cells.length) setCell(0);
  };
  const put = (text: string) => {
    setTyped(cell);
    change({ ...table, cells: table.cells.map((old, i) => (i === cell ? text : old)) });
  };
  const paste = (text: string): string | null => {
    const next = pasted(table, cell, text);
    if (!next) return "Nothing in it reads as a table: give rows of numbers, or lines of part, person and value.";
    change(next);
    return null;
  };
  usePaste((text) => tell({ answer: null, problem: paste(text) }));
  const ask = (adopt: boolean) => once(async () => {
    const readings = readingsOf(table);
    if (!readings) return tell({ answer: null, problem: `Missing or no number: ${missing(table)} of ${table.cells.length} readings.` });
    const slip = readings.findIndex((r) => slipOf(r.value));
    if (slip >= 0) {
      setCell(slip);
      const { part, person, repeat } = placeOf(table, slip);
      return tell({ answer: null, problem: `Part ${part}, ${person}, ${repeat}. reading: ${slipOf(readings[slip]!.value)}` });
    }
    if (new Set(table.people.map((p) => p.trim())).size < table.people.length || table.people.some((p) => !p.trim())) {
      return tell({ answer: null, problem: "Person: each needs a name of their own." });
    }
    try {
      const answer = await api.post<StudyAnswer>("/workshop/gauge-study", { quantity: q.id, readings, adopt });
      tell({ answer, problem: null });
      if (answer.adopted) void refreshCatalogue();
    } catch (error) {
      tell({ answer: told.answer, problem: wordsOf(error, "Gauge studies") });
    }
  });
  const next = async () => {
    const value = parsePad(table.cells[cell] ?? "");
    const slip = value === null ? null : slipOf(value);
    tell({ answer: null, problem: slip });
    if (!slip) setCell((cell + 1) % table.cells.length);
    return !slip;
  };
  const left = missing(table);
  const pad = <Pad key={cell} text={table.cells[cell] ?? ""} onText={put} onKeep={next} step={q.step} signed={!!q.signed} keep="Next" fresh={typed !== cell || told.problem !== null} />;
  const problem = told.problem && <p class="note stop mt" role="alert">{told.problem}</p>;
  const work = <button type="button" class="big go full" onClick={() => void ask(false)}>{left ? `Work it out: ${count(left, "reading")} missing` : "Work it out"}</button>;
  const hand = <InHand table={table} cell={cell} unit={unit} />;
  const entering = !told.answer;
  return (
    <Page title="Gauge study" cls="fill wide" aside={`${table.parts.length} × ${table.people.length} × ${table.repeats}`} dock={!roomy && entering} foot={
      roomy ? <ShopIndex at="workshop" />
        : entering ? <>{problem}<div class="now docked">{hand}</div>{left < table.cells.length && left === 0 ? work : null}{pad}<PageChoice at="gauge-study" /></>
        : <>{problem}<button type="button" class="big full" onClick={() => tell(NOTHING)}>Back to the readings</button><PageChoice at="gauge-study" /><ShopIndex at="workshop" /></>
    }>
      {roomy && <Tabs at="gauge-study" />}
      <div class="beside study">
        {(roomy || entering) && (
          <div>
            <Choose name="quantity" label="Quantity" value={q.id} choices={choices} put={(next) => { setId(next); tell(NOTHING); }} />
            <Sizes table={table} put={change} />
            <p class="s mt">Every person measures every part equally often, without seeing the reading before; in {unit}, with {q.tool}.</p>
            <Cells table={table} cell={cell} take={(at) => { setCell(at); tell(NOTHING); }} put={change} />
            <PasteBox paste={paste} />
          </div>
        )}
        {(roomy || !entering) && (
          <div>
            {entering && (
              <>
                <div class="now docked mt3">{hand}</div>
                <div class="mt mb">{pad}</div>
                {work}
                {problem}
                <p class="s mt">The answer splits what was read into what the parts, the hands and the gauge each add, and gives the uncertainty of one reading.</p>
              </>
            )}
            {told.answer && <><StudyResult answer={told.answer} q={q} unit={unit} /><Adopt answer={told.answer} q={q} unit={unit} adopt={() => void ask(true)} /></>}
          </div>
        )}
      </div>
    </Page>
  );
}

/** The names the shop knows, else letters: two persons at least. */
function firstPeople(): string[] {
  const names = people.value.slice(0, 2).map((p) => p.name);
  return [...names, "A", "B"].slice(0, Math.max(2, names.length));
}

/** A table copied elsewhere and pasted anywhere on the page. */
function usePaste(take: (text: string) => void): void {
  useEffect(() => {
    const onPaste = (e: ClipboardEvent) => {
      const text = e.clipboardData?.getData("text/plain");
      if (!text || /^(INPUT|TEXTAREA)$/.test((e.target as HTMLElement).tagName)) return;
      e.preventDefault();
      take(text);
    };
    addEventListener("paste", onPaste);
    return () => removeEventListener("paste", onPaste);
  });
}

function Sizes({ table, put }: { table: StudyTable; put: (t: StudyTable) => void }) {
  const now = { parts: table.parts.length, people: table.people.length, repeats: table.repeats };
  const pick = (name: keyof typeof now, label: string) => (
    <Choose name={name} label={label} value={String(now[name])} put={(n) => {
      const next = { ...now, [name]: Number(n) };
      put(resized(table, next.parts, next.people, next.repeats));
    }} choices={Array.from({ length: MOST[name] - LEAST[name] + 1 }, (_, i) => String(i + LEAST[name])).map((n) => ({ id: n, label: n }))} />
  );
  return <div class="three">{pick("parts", "Parts")}{pick("people", "Persons")}{pick("repeats", "Repeats")}</div>;
}

function Cells({ table, cell, take, put }: { table: StudyTable; cell: number; take: (cell: number) => void; put: (t: StudyTable) => void }) {
  const columns = table.people.length * table.repeats;
  return (
    <div class="across mt">
      <table>
        <thead>
          <tr>
            <th scope="col" rowSpan={2}>part</th>
            {table.people.map((name, i) => (
              <th key={i} scope="colgroup" colSpan={table.repeats}>
                <input class="fld full" aria-label={`Person ${i + 1}`} value={name} maxLength={80} onInput={(e) => {
                  const people = [...table.people];
                  people[i] = e.currentTarget.value;
                  put({ ...table, people });
                }} />
              </th>
            ))}
          </tr>
          <tr>{Array.from({ length: columns }, (_, i) => <th key={i} scope="col" class="r">{(i % table.repeats) + 1}</th>)}</tr>
        </thead>
        <tbody>
          {table.parts.map((part, row) => (
            <tr key={part}>
              <th scope="row" class="ink">{part}</th>
              {Array.from({ length: columns }, (_, column) => {
                const at = row * columns + column;
                const { person, repeat } = placeOf(table, at);
                const text = table.cells[at];
                return (
                  <td key={column}>
                    <button type="button" class="cell full" aria-pressed={at === cell} aria-label={`part ${part}, ${person}, ${repeat}: ${text || "not read"}`} onClick={() => take(at)}>{text || "–"}</button>
                  </td>
                );
              })}
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

function InHand({ table, cell, unit }: { table: StudyTable; cell: number; unit: string }) {
  const { part, person, repeat } = placeOf(table, cell);
  return (
    <p class="row sp"><span>part {part}, {person}, {repeat}. reading</span><span class="val dk">{table.cells[cell] || "–"}<span class="caret" /><i>{unit}</i></span></p>
  );
}

function PasteBox({ paste }: { paste: (text: string) => string | null }) {
  const [text, setText] = useState("");
  const [wrong, setWrong] = useState<string | null>(null);
  return (
    <details class="mt">
      <summary>Paste a table</summary>
      <label for="pasted">Rows of numbers from the cell in hand on, or lines of part, person, value</label>
      <textarea id="pasted" class="fld" rows={4} value={text} onInput={(e) => setText(e.currentTarget.value)} />
      {wrong && <p class="note stop mt" role="alert">{wrong}</p>}
      <button type="button" class="mt" onClick={() => {
        const said = paste(text);
        setWrong(said);
        if (!said) setText("");
      }}>Take it in</button>
    </details>
  );
}

function Adopt({ answer, q, unit, adopt }: { answer: StudyAnswer; q: Quantity; unit: string; adopt: () => void }) {
  if (answer.u === null) return null;
  if (answer.adopted) return <p class="note mt" role="status"><b>Adopted.</b> From now on a reading of {q.label.toLowerCase()} has u {num(answer.u, 3)} {unit}.</p>;
  if (session.value?.role !== "owner") return <p class="s mt">Only the owner's role makes it the quantity's own.</p>;
  return (
    <>
      <p class="mt">Adopted, every reading of {q.label.toLowerCase()} from now on has u {num(answer.u, 3)} {unit} in place of {num(q.u, 3)}, on every phone, unless it is made with a gauge that has a certificate. {answer.u > q.u ? "Whiskers grow: more readings will be borderline." : "Whiskers shrink: fewer readings will be borderline."} What is written down already keeps its own.</p>
      {answer.why_not["adopted"] && answer.why_not["adopted"] !== "It was not asked for." && <p class="note stop mt" role="alert">{answer.why_not["adopted"]}</p>}
      <button type="button" class="big full mt" onClick={adopt}>Adopt u {num(answer.u, 3)} {unit}</button>
    </>
  );
}
