import { useState } from "preact/hooks";
import { undo, type LoggedEntry } from "../../book";
import { time } from "../../look/number";
import { StageGlyph } from "../../look/stage";
import { entryWords } from "../entry_words";
import type { Work } from "../work";

const PAGE = 12;

/** What has been written down in a job, newest first; pencilled until confirmed. */
export function WrittenDown({ work }: { work: Work }) {
  const [all, setAll] = useState(false);
  const replaced = new Map(work.entries.filter((e) => e.entry.replaces).map((e) => [e.entry.replaces!, e.entry.kind === "void" ? "taken back" : "corrected"]));
  const rows = work.entries.filter((e) => e.entry.kind !== "void").reverse();
  if (!rows.length) return null;
  return (
    <>
      <h2>Written down</h2>
      <ul>{(all ? rows : rows.slice(0, PAGE)).map((e) => <EntryRow key={e.entry.id} work={work} logged={e} replaced={replaced.get(e.entry.id)} />)}</ul>
      {!all && rows.length > PAGE && <button type="button" class="flat full mt" onClick={() => setAll(true)}>{rows.length - PAGE} earlier</button>}
    </>
  );
}

export function EntryRow({ work, logged, replaced, quiet }: { work: Pick<Work, "cat">; logged: LoggedEntry; replaced?: string | undefined; quiet?: boolean }) {
  const { entry, state, problem } = logged;
  const { what, said } = entryWords(work.cat, entry);
  return (
    <li class="li entry">
      <StageGlyph stage={entry.stage} />
      <span class="w">
        {replaced ? <s>{what} {said}</s> : <>{what} <b>{said}</b></>}
        <span class="xs"> {entry.stage}, {time(entry.taken_at)}{entry.note ? `, ${entry.note}` : ""}</span>
        {state === "set_aside" && <span class="s"> Set aside: {problem?.detail ?? problem?.title}</span>}
      </span>
      {!quiet && state !== "confirmed" && state !== "set_aside" && <span class="pencil">pencilled</span>}
      {!replaced && state !== "set_aside" && <button type="button" class="flat" aria-label={`Undo ${what} ${said}`} onClick={() => void undo(entry.id)}>Undo</button>}
      {replaced && <span class="s">{replaced}</span>}
    </li>
  );
}
