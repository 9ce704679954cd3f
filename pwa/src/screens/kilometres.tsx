import { useState } from "preact/hooks";
import { num } from "../look/number";
import type { EntryDraft } from "../nouns";
import { remember, remembered } from "./remembered";

const nameOf = (jobId: string): string => `km.${jobId}`;

/** What the bike's counter shows on this visit, put to each reading: wear is judged over kilometres where they are known. */
export function withKm<D extends EntryDraft | Partial<EntryDraft>>(jobId: string, draft: D): D {
  const km = remembered<number>(nameOf(jobId));
  return km === null || "odometer_km" in draft ? draft : { ...draft, odometer_km: km };
}

export const keepKm = (jobId: string, km: number | null): void => remember(nameOf(jobId), km);

/** A number of kilometres as it is typed; null while it is none, or could be two. */
export function parseKm(text: string): number | null {
  const typed = text.trim();
  return /^\d{1,6}([.,]\d*)?$/.test(typed) && !couldBeThousands(typed) ? Number(typed.replace(",", ".")) : null;
}

/** "1,234" and "1.234": with three digits behind it, a comma or point parts thousands here and decimals there. */
const couldBeThousands = (typed: string): boolean => /^[1-9]\d{0,2}[.,]\d{3}$/.test(typed);

/** What is wrong with what was typed, and what would be right; null: nothing, or nothing typed. */
export function kmFault(text: string): string | null {
  const typed = text.trim();
  if (!typed || parseKm(typed) !== null) return null;
  if (couldBeThousands(typed)) return `“${typed}” can be read in two ways. Write thousands without a comma or point: ${typed.replace(/\D/, "")}. One decimal is enough.`;
  return `“${typed}” is no number. Write what the counter shows, or nothing.`;
}

/** The counter's field of a job. */
export function Kilometres({ jobId, before }: { jobId: string; /** What it showed at the last visit. */ before?: number | null }) {
  const [text, setText] = useState(() => String(remembered<number>(nameOf(jobId)) ?? ""));
  const odd = kmFault(text);
  return (
    <>
      <label class="mt3" for="km">Kilometres on the bike's counter, if it has one{before != null && <span class="xs">; {num(before)} at the last visit</span>}</label>
      <input id="km" class="fld" inputMode="decimal" autocomplete="off" value={text} aria-describedby={odd ? "km-odd" : undefined}
        onInput={(e) => {
          setText(e.currentTarget.value);
          keepKm(jobId, parseKm(e.currentTarget.value));
        }} />
      {before != null && parseKm(text) !== null && parseKm(text)! < before && <p class="s">Less than at the last visit: another counter, or a slip?</p>}
      {odd && <p class="s" id="km-odd">{odd}</p>}
    </>
  );
}
