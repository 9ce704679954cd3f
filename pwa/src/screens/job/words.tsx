import { useEffect, useRef, useState } from "preact/hooks";
import { undo } from "../../book";
import { LIMITS } from "../../limits";
import type { EntryDraft, Stage } from "../../nouns";
import { notSaved, useOnce } from "../once";
import { logWith, PhotoInHand, photosBegun } from "../photos";
import { remember, remembered } from "../remembered";
import { wrong } from "../typed";

/** A photo may speak for itself; the entry needs a word to be told by. */
const NO_WORDS = "Photo";
const ASKED = { remark: { label: "Remark", limit: LIMITS.RemarkData.text }, declined: { label: "Advised, not wanted", limit: LIMITS.DeclinedData.work } };

/** A remark, or work that was advised and not wanted. What is begun of a job stays on the phone, whatever page is open. */
export function Words({ jobId, stage, first }: { jobId: string; stage: Stage; /** Where it is what the page is for. */ first?: boolean }) {
  const begun = `words.${jobId}`;
  const [text, show] = useState(() => remembered<string>(begun) ?? "");
  const [said, say] = useState<{ words: string; kept?: { id: string; kind: string; text: string } } | null>(null);
  const setSaid = (words: string) => say({ words });
  /** The words are in hand again, unless others have been begun. */
  const back = async ({ id, text: words }: { id: string; text: string }) => {
    await undo(id);
    if (!newest.current && words !== NO_WORDS) setText(words);
    say(null);
  };
  const field = useRef<HTMLTextAreaElement>(null);
  useEffect(() => {
    if (first) field.current?.focus({ preventScroll: true });
  }, []);
  const newest = useRef(text);
  newest.current = text;
  const setText = (next: string) => {
    show(next);
    remember(begun, next || null);
  };
  const photos = photosBegun(`${jobId} words`);
  const once = useOnce();
  const keep = (kind: "remark" | "declined") => once(async () => {
    const words = text.trim() || (kind === "remark" && photos.value.length ? NO_WORDS : "");
    if (!words) {
      setSaid(kind === "declined" ? "Write which work it was." : "Write it first.");
      field.current?.focus();
      return;
    }
    const long = wrong(ASKED[kind], words);
    if (long) return setSaid(long);
    const draft = kind === "remark" ? { kind, stage, data: { text: words } } : { kind, stage, data: { work: words } };
    try {
      const { entry } = await logWith(photos, jobId, draft as EntryDraft);
      // What was typed on meanwhile is begun anew.
      if (newest.current === text) setText("");
      say({ words: kind === "remark" ? "Written down." : "Written down: advised, not wanted.", kept: { id: entry.id, kind, text: words } });
    } catch (error) {
      setSaid(notSaved(error));
    }
  });
  const big = first ? "big w" : "w";
  return (
    <>
      <label for="words">A remark, or work that was advised and not wanted</label>
      <textarea id="words" ref={field} class="fld" rows={2} value={text} onInput={(e) => setText(e.currentTarget.value)} />
      <div class="row wrapping mt"><PhotoInHand photos={photos} /></div>
      <div class="row mt">
        <button type="button" class={big} onClick={() => keep("remark")}>Remark</button>
        <button type="button" class={big} onClick={() => keep("declined")}>Advised, not wanted</button>
      </div>
      {said && (
        <p class="row sp" role="status">
          <span class="s">{said.words}</span>
          {said.kept && <button type="button" class="flat" onClick={() => once(() => back(said.kept!))}>Undo the {said.kept.kind === "remark" ? "remark" : "advice"}</button>}
        </p>
      )}
    </>
  );
}
