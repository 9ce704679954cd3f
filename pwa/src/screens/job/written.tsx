import { useState } from "preact/hooks";
import { undo, type LoggedEntry } from "../../book";
import { time } from "../../look/number";
import { StageGlyph } from "../../look/stage";
import { entryWords } from "../entry_words";
import { AddPhoto, Pictures } from "../photos";
import { ASIDE } from "../route";
import type { Work } from "../work";
import { Correct } from "./correct";
import { onlyAdds } from "./only_adds";

const PAGE = 12;

/** What has been written down in a job, newest first; pencilled until confirmed. */
export function WrittenDown({ work }: { work: Work }) {
  const [all, setAll] = useState(false);
  const newer = new Map(work.entries.filter((e) => e.entry.replaces && e.state !== "set_aside").map((e) => [e.entry.replaces!, e.entry]));
  const replaced = ({ entry }: LoggedEntry) => {
    const by = newer.get(entry.id);
    const fewer = by && (by.photos ?? []).length < (entry.photos ?? []).length;
    return by && (by.kind === "void" ? "taken back" : fewer && onlyAdds(by, entry) ? "a photo taken off" : "corrected");
  };
  // A remark that was written anew with its photo is one remark.
  const rows = work.entries.filter(({ entry }) => entry.kind !== "void" && !(newer.has(entry.id) && onlyAdds(entry, newer.get(entry.id)!))).reverse();
  if (!rows.length) return null;
  return (
    <>
      <h2>Written down</h2>
      <ul>{(all ? rows : rows.slice(0, PAGE)).map((e) => <EntryRow key={e.entry.id} work={work} logged={e} replaced={replaced(e)} />)}</ul>
      {!all && rows.length > PAGE && <button type="button" class="flat full mt" onClick={() => setAll(true)}>{rows.length - PAGE} earlier</button>}
    </>
  );
}

export function EntryRow({ work, logged, replaced, quiet }: { work: Pick<Work, "cat"> & Partial<Pick<Work, "steps" | "job">>; logged: LoggedEntry; replaced?: string | undefined; quiet?: boolean }) {
  const { entry, state, problem, fixedBy, laidAside, stuck } = logged;
  const { what, said } = entryWords(work.cat, entry);
  return (
    <li class="li entry">
      <StageGlyph stage={entry.stage} />
      <span class="w">
        {replaced ? <s>{what} {said}</s> : <>{what} <b>{said}</b></>}
        <span class="xs"> {entry.stage}, {time(entry.taken_at)}{entry.note ? `, ${entry.note}` : ""}</span>
        {state === "set_aside" && <span class="s"> Set aside{fixedBy ? " and put right by a newer entry" : laidAside ? " for good" : ""}: {problem?.detail ?? problem?.title} {!fixedBy && !laidAside && <a href={`#/settings/${ASIDE}`}>Put it right</a>}</span>}
        {stuck && state !== "confirmed" && state !== "set_aside" && <span class="s"> For more than a day the service has not been able to take it: {problem?.detail ?? problem?.title}</span>}
      </span>
      {!quiet && state !== "confirmed" && state !== "set_aside" && <span class="pencil">pencilled</span>}
      {replaced ? <span class="s">{replaced}</span> : state !== "set_aside" && (
        <div class="acts">
          {!quiet && work.steps && <Correct work={work as Work} entry={entry} words={`${what} ${said}`} />}
          {entry.kind !== "void" && <button type="button" class="flat" aria-label={`Undo ${what} ${said}`} onClick={() => void undo(entry.id)}>Undo</button>}
          {!quiet && <AddPhoto entry={entry} words={`${what} ${said}`} />}
        </div>
      )}
      {!replaced && <Pictures of={entry.photos} words={`${what} ${said}`} entry={!quiet && state !== "set_aside" ? entry : undefined} />}
    </li>
  );
}
