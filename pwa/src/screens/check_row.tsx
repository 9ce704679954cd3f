import type { Check } from "../catalogue";
import type { CheckOutcome } from "./work";
import { Leaf } from "../look/touch";
import { OUTCOME_WORDS } from "./entry_words";

const ORDER = ["passed", "failed", "not_done"] as const;

/** One check: what to do, in a sentence, and what came of it. */
export function CheckRow({ check, outcome, onOutcome }: { check: Check; outcome: CheckOutcome | null; onOutcome: (o: CheckOutcome) => void }) {
  return (
    <li class="li">
      <b>{check.label}</b>
      <p class="s">{check.words}</p>
      <div class="c3 mt" role="group" aria-label={check.label}>
        {ORDER.map((o) => <Leaf on={outcome === o} onPick={() => onOutcome(o)}>{OUTCOME_WORDS[o]}</Leaf>)}
      </div>
    </li>
  );
}
