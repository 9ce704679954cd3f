import { useState } from "preact/hooks";
import type { Step } from "../../catalogue";
import { log, undo } from "../../book";
import { applies } from "../../catalogue";
import { TurnRow } from "../turn_row";
import { turnedWords } from "../entry_words";
import type { Work } from "../work";
import { notSaved, useOnce } from "../once";

/** What was turned on the stand: only the adjusters that touch what this step measures. */
export function BenchTurns({ work, step }: { work: Work; step: Step }) {
  const [said, setSaid] = useState<{ ids: string[]; words: string } | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  const [amounts, setAmounts] = useState<Record<string, number>>({});
  const asked = new Set([...(step.quantities ?? []), ...(step.also_quantities ?? [])]);
  const rows = work.cat.adjusters.filter((a) =>
    a.id !== "none" && applies(a.applies ?? {}, work.facts) && [...(a.adds_to ?? []).map((x) => x.quantity), ...(a.makes_stale ?? [])].some((q) => asked.has(q)));
  if (!rows.length) return null;
  const turned = rows.filter((a) => amounts[a.id]);
  const once = useOnce();
  const words = turned.map((a) => `${a.short ?? a.label} ${turnedWords(work.cat, a.id, amounts[a.id]!, a.unit)}`).join(", ");
  const keep = () => once(async () => {
    const ids: string[] = [];
    setProblem(null);
    try {
      for (const a of turned) ids.push((await log(work.job.id, { kind: "adjustment", stage: "bench", data: { adjuster: a.id, amount: amounts[a.id]!, unit: a.unit } })).entry.id);
      setSaid(ids.length ? { ids, words } : null);
      setAmounts({});
    } catch (error) {
      for (const id of ids) await undo(id).catch(() => undefined);
      setProblem(notSaved(error));
    }
  });
  const takeBack = () => once(async () => {
    for (const id of said?.ids ?? []) await undo(id);
    setSaid(null);
  });
  return (
    <details class="mt3">
      <summary>I turned something here</summary>
      {rows.map((a) => <TurnRow cat={work.cat} adjuster={a} amount={amounts[a.id] ?? 0} onAmount={(n) => setAmounts({ ...amounts, [a.id]: n })} />)}
      <button type="button" class="big full" aria-disabled={!turned.length} onClick={keep}>
        {words ? `Write down: ${words}` : "Write down what was turned"}
      </button>
      {problem && <p class="note stop" role="alert">{problem}</p>}
      {said && <p class="row sp kept" role="status"><span>Written down: <b>{said.words}</b></span><button type="button" class="flat" onClick={takeBack}>Undo</button></p>}
    </details>
  );
}
