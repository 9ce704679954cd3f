import { useState } from "preact/hooks";
import { log, undo } from "../../book";
import { Leaf } from "../../look/touch";
import type { EntryDraft, Stage } from "../../nouns";
import { handKept } from "../kept";
import { withKm } from "../kilometres";
import { notSaved, useOnce } from "../once";
import { swap } from "../route";
import { stageOf } from "../work";
import type { Place } from "./place";

export interface Keeping {
  stage: Stage;
  setStage: (stage: Stage) => void;
  /** What was kept from this page, and stays on it. */
  kept: { ids: string[]; words: string } | null;
  problem: string | null;
  say: (problem: string | null) => void;
  /** Keeps one entry and goes back to the step that asked for it. */
  keepAndGo: (draft: EntryDraft) => void;
  /** Keeps some entries, all or none, and stays. */
  keepHere: (drafts: EntryDraft[], words: string) => void;
  takeBack: () => void;
}

/** Writes what was worked out into the job, as ordinary entries. */
export function useKeeping(place: Place): Keeping {
  const { work, step } = place;
  const [stage, setStage] = useState<Stage>(work && step ? stageOf(work, step) : "bench");
  const [kept, setKept] = useState<Keeping["kept"]>(null);
  const [problem, say] = useState<string | null>(null);
  const once = useOnce();
  const write = async (drafts: EntryDraft[]): Promise<string[] | null> => {
    const ids: string[] = [];
    try {
      for (const draft of drafts) ids.push((await log(work!.job.id, withKm(work!.job.id, draft))).entry.id);
      say(null);
      return ids;
    } catch (error) {
      for (const id of ids) await undo(id).catch(() => undefined);
      say(notSaved(error));
      return null;
    }
  };
  return {
    stage, setStage, kept, problem, say,
    keepAndGo: (draft) => once(async () => {
      const ids = await write([draft]);
      if (!ids) return;
      handKept(ids[0]!);
      swap(place.back);
    }),
    keepHere: (drafts, words) => once(async () => {
      const ids = await write(drafts);
      if (ids) setKept({ ids, words });
    }),
    takeBack: () => once(async () => {
      for (const id of kept?.ids ?? []) await undo(id);
      setKept(null);
    }),
  };
}

/** The foot of a page: back, and what can be kept. `keep` is null where there is nothing to keep it in. */
export function KeepFoot({ place, keeping, keep, onKeep }: { place: Place; keeping: Keeping; keep: string | null; onKeep: () => void }) {
  const { stage, setStage, kept, problem } = keeping;
  const kind = place.work?.job.kind;
  return (
    <>
      {problem && <p class="note stop" role="alert">{problem}</p>}
      {kept && (
        <p class="row sp kept" role="status"><span>Kept on this phone: <b>{kept.words}</b></span><button type="button" class="flat" onClick={keeping.takeBack}>Undo</button></p>
      )}
      <div class="row">
        <a class={`b big ${keep && !kept ? "" : "go w"}`} href={place.back}>{keep && !kept ? "Back" : `Back: ${place.backWords.toLowerCase()}`}</a>
        {keep && kind && kind !== "build" && !kept && <Leaf on={stage === "found"} onPick={() => setStage(stage === "found" ? "bench" : "found")}>as found</Leaf>}
        {keep && !kept && <button type="button" class="big go w" onClick={onKeep}>{keep}</button>}
      </div>
    </>
  );
}
