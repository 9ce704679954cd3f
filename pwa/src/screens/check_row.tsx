import type { Check } from "../catalogue";
import type { CheckOutcome, Work } from "./work";
import { Leaf } from "../look/touch";
import type { EntryOf } from "../nouns";
import { OUTCOME_WORDS } from "./entry_words";
import { AddPhoto, Pictures } from "./photos";

const ORDER = ["passed", "failed", "not_done"] as const;

interface CheckProps {
  check: Check;
  outcome: CheckOutcome | null;
  onOutcome: (o: CheckOutcome) => void;
  /** Where that was written down. */
  entry: EntryOf<"check"> | null;
}

/** One check: what to do, in a sentence, what came of it, and a photo of it. */
export function CheckRow({ check, outcome, onOutcome, entry }: CheckProps) {
  return (
    <li class="li">
      <b>{check.label}</b>
      <p class="s">{check.words}</p>
      <div class="c3 mt" role="group" aria-label={check.label}>
        {ORDER.map((o) => <Leaf on={outcome === o} onPick={() => onOutcome(o)}>{OUTCOME_WORDS[o]}</Leaf>)}
      </div>
      {entry && <div class="row wrapping"><AddPhoto entry={entry} words={check.label} /><Pictures of={entry.photos} words={check.label} /></div>}
    </li>
  );
}

/** The entry that says what last came of a check. */
export function checkEntry(work: Pick<Work, "standing">, check: string): EntryOf<"check"> | null {
  return work.standing.findLast((e): e is EntryOf<"check"> => e.kind === "check" && e.data.check === check) ?? null;
}
