import { useState } from "preact/hooks";
import { log } from "../../book";
import type { Entry, EntryDraft, EntryOf } from "../../nouns";
import { correcting, headOf } from "../correcting";
import { toField } from "../field";
import { notSaved, useOnce } from "../once";
import { PartFields, usePartTexts } from "../part_fields";
import { partsTyped, writtenAnew, wrongParts } from "../rewrite";
import { jobLink } from "../route";
import type { Work } from "../work";

interface CorrectProps { work: Work; entry: Entry; words: string }

/** What was typed wrong is typed anew: on the keypad of its line where it has one, otherwise in its row. */
export function Correct({ work, entry, words }: CorrectProps) {
  if (entry.kind === "reading") {
    const line = lineOf(work, entry);
    if (line) return <a class="b flat" aria-label={`Correct ${words}`} href={line} onClick={() => { correcting.value = entry; }}>Correct</a>;
  }
  return partsTyped(work.cat, entry).length ? <InItsRow work={work} entry={entry} words={words} /> : null;
}

/** The line of the bench that the value was read on. */
function lineOf(work: Work, entry: EntryOf<"reading">): string | null {
  if (!("value" in entry.data)) return null;
  const { quantity, unit } = entry.data;
  const step = work.steps.find((s) => [...s.quantities, ...s.also].some((q) => q.quantity.id === quantity && q.quantity.unit === unit));
  const gear = entry.gear ? [`${entry.gear.ring}x${entry.gear.cog}`] : [];
  return step ? jobLink(work.job.id, "bench", step.step.id, quantity, ...gear) : null;
}

function InItsRow({ work: { cat }, entry, words }: CorrectProps) {
  const parts = partsTyped(cat, entry);
  const [open, setOpen] = useState(false);
  const [texts, setTexts] = usePartTexts(parts);
  const [faults, setFaults] = useState<Record<string, string>>({});
  const [said, say] = useState<string | null>(null);
  const once = useOnce();
  const first = () => toField(entry.id + parts[0]!.pointer);
  const keep = () => once(async () => {
    const wrong = wrongParts(cat, entry, parts, texts);
    setFaults(wrong);
    const [at] = Object.keys(wrong);
    if (at) return toField(entry.id + at);
    const { kind, data } = writtenAnew(entry, parts, texts);
    try {
      await log(entry.job_id, { kind, data, ...headOf(entry) } as EntryDraft);
    } catch (error) {
      say(notSaved(error));
    }
  });
  return (
    <>
      <button type="button" class="flat" aria-expanded={open} aria-label={`Correct ${words}`} onClick={() => { setOpen(!open); if (!open) requestAnimationFrame(first); }}>Correct</button>
      {open && (
        <div class="full">
          <PartFields of={entry.id} parts={parts} texts={texts} faults={faults} put={setTexts} />
          <p class="s">It keeps its time and place; what was written down before stays readable.</p>
          {said && <p class="note stop mt" role="alert">{said}</p>}
          <div class="row mt"><button type="button" class="big w" onClick={() => setOpen(false)}>Leave it</button><button type="button" class="big w go" onClick={keep}>Write it down</button></div>
        </div>
      )}
    </>
  );
}
