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

/** A number of kilometres as it is typed; null while it is none. */
export function parseKm(text: string): number | null {
  const km = Number(text.replace(",", "."));
  return text.trim() && Number.isFinite(km) && km >= 0 && km < 1e6 ? km : null;
}

/** The counter's field of a job. */
export function Kilometres({ jobId, before }: { jobId: string; /** What it showed at the last visit. */ before?: number | null }) {
  const [text, setText] = useState(() => String(remembered<number>(nameOf(jobId)) ?? ""));
  const odd = text.trim() !== "" && parseKm(text) === null;
  return (
    <>
      <label class="mt3" for="km">Kilometres on the bike's counter, if it has one{before != null && <span class="xs">; {num(before)} at the last visit</span>}</label>
      <input id="km" class="fld" inputMode="decimal" autocomplete="off" value={text} aria-describedby={odd ? "km-odd" : undefined}
        onInput={(e) => {
          setText(e.currentTarget.value);
          keepKm(jobId, parseKm(e.currentTarget.value));
        }} />
      {before != null && parseKm(text) !== null && parseKm(text)! < before && <p class="s">Less than at the last visit: another counter, or a slip?</p>}
      {odd && <p class="s" id="km-odd">A number of kilometres, as the counter shows it.</p>}
    </>
  );
}
