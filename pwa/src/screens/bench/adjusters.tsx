import { useState } from "preact/hooks";
import type { Step } from "../../catalogue";
import { log } from "../../book";
import { applies } from "../../catalogue";
import { TurnRow } from "../turn_row";
import { turnedWords } from "../entry_words";
import type { Work } from "../work";
import { useOnce } from "../once";

/** What was turned on the stand: only the adjusters that touch what this step measures. */
export function BenchTurns({ work, step, onKept }: { work: Work; step: Step; onKept: (id: string) => void }) {
  const [amounts, setAmounts] = useState<Record<string, number>>({});
  const asked = new Set([...(step.quantities ?? []), ...(step.also_quantities ?? [])]);
  const rows = work.cat.adjusters.filter((a) =>
    a.id !== "none" && applies(a.applies ?? {}, work.facts) && [...(a.adds_to ?? []).map((x) => x.quantity), ...(a.makes_stale ?? [])].some((q) => asked.has(q)));
  if (!rows.length) return null;
  const turned = rows.filter((a) => amounts[a.id]);
  const once = useOnce();
  const keep = () => once(async () => {
    for (const a of turned) {
      const kept = await log(work.job.id, { kind: "adjustment", stage: "bench", data: { adjuster: a.id, amount: amounts[a.id]!, unit: a.unit } });
      onKept(kept.entry.id);
    }
    setAmounts({});
  });
  return (
    <details class="mt3">
      <summary>I turned something here</summary>
      {rows.map((a) => <TurnRow cat={work.cat} adjuster={a} amount={amounts[a.id] ?? 0} onAmount={(n) => setAmounts({ ...amounts, [a.id]: n })} />)}
      <button type="button" class="big full" aria-disabled={!turned.length} onClick={keep}>
        {turned.length ? `Write down: ${turned.map((a) => `${a.short ?? a.label} ${turnedWords(work.cat, a.id, amounts[a.id]!, a.unit)}`).join(", ")}` : "Write down what was turned"}
      </button>
    </details>
  );
}
