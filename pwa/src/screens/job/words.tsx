import { useSignal } from "@preact/signals";
import { useEffect, useRef, useState } from "preact/hooks";
import type { EntryDraft, Stage } from "../../nouns";
import { notSaved, useOnce } from "../once";
import { logWith, PhotoInHand } from "../photos";
import type { NewPhoto } from "../../store/database";

/** A remark, or work that was advised and not wanted. */
export function Words({ jobId, stage, first }: { jobId: string; stage: Stage; /** Where it is what the page is for. */ first?: boolean }) {
  const [text, setText] = useState("");
  const [said, setSaid] = useState<string | null>(null);
  const field = useRef<HTMLTextAreaElement>(null);
  useEffect(() => {
    if (first) field.current?.focus({ preventScroll: true });
  }, []);
  const photos = useSignal<NewPhoto[]>([]);
  const once = useOnce();
  const keep = (kind: "remark" | "declined") => once(async () => {
    const words = text.trim();
    if (!words) {
      setSaid("Write it first.");
      field.current?.focus();
      return;
    }
    const draft = kind === "remark" ? { kind, stage, data: { text: words } } : { kind, stage, data: { work: words } };
    try {
      await logWith(photos, jobId, draft as EntryDraft);
      setText("");
      setSaid(kind === "remark" ? "Written down." : "Written down: advised, not wanted.");
    } catch (error) {
      setSaid(notSaved(error));
    }
  });
  const big = first ? "big w" : "w";
  return (
    <>
      <label for="words">A remark, or work that was advised and not wanted</label>
      <textarea id="words" ref={field} class="fld" rows={2} maxLength={first ? 500 : 2000} value={text} onInput={(e) => setText(e.currentTarget.value)} />
      <div class="row wrapping mt"><PhotoInHand photos={photos} /></div>
      <div class="row mt">
        <button type="button" class={big} onClick={() => keep("remark")}>Remark</button>
        <button type="button" class={big} onClick={() => keep("declined")}>Advised, not wanted</button>
      </div>
      {said && <p class="s" role="status">{said}</p>}
    </>
  );
}
