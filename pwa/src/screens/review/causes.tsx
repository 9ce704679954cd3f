import { useState } from "preact/hooks";
import { sharePercent, ShareRule } from "../../look/share_rule";
import type { Candidate, ReviewAnswer } from "./answer";

const SHOWN_FROM = 0.01;
const AT_FIRST = 4;

/** The causes that fit, the likeliest first, each with what speaks for and against it. */
export function Causes({ review }: { review: ReviewAnswer }) {
  const [all, setAll] = useState(false);
  const likely = review.causes.filter((cause) => cause.probability >= SHOWN_FROM);
  const shown = all ? review.causes : likely.slice(0, AT_FIRST);
  const rest = review.causes.slice(shown.length).reduce((sum, cause) => sum + cause.probability, 0);
  return (
    <>
      <ol class="causes">
        {shown.map((cause) => <Cause key={cause.id} cause={cause} />)}
        {!all && shown.length < review.causes.length && <li class="s row sp"><span>All others of the table</span><span class="nowrap">{sharePercent(rest)}</span></li>}
      </ol>
      {!all && shown.length < review.causes.length && <button type="button" onClick={() => setAll(true)}>Show all {review.causes.length}</button>}
      {review.second_cause && <p class="note mt">Perhaps two at once ({sharePercent(review.second_cause.probability)}): {review.second_cause.causes.map((c) => c.label).join(" and ")}.</p>}
      {review.consistency && <p class="s mt">{review.consistency.words}</p>}
      <p class="xs mt">{learnedWords(review.learned_from)}</p>
    </>
  );
}

function Cause({ cause }: { cause: Candidate }) {
  return (
    <>
      <ShareRule name={cause.label} share={cause.probability} />
      <li class="reasons">
        {cause.for.slice(0, 5).map((r) => <p key={r.of + r.words}><i>for</i><span>{r.words}</span></p>)}
        {cause.against.slice(0, 3).map((r) => <p key={r.of + r.words}><i>against</i><span>{r.words}</span></p>)}
      </li>
    </>
  );
}

function learnedWords(n: number): string {
  const taught = n === 0 ? "No closed comeback of this shop has taught it yet." : `${n} closed comeback${n === 1 ? " of this shop has" : "s of this shop have"} taught it.`;
  return `How often each cause comes starts from memory; ${taught[0]!.toLowerCase()}${taught.slice(1)}`;
}
