import { useState } from "preact/hooks";
import { api } from "../../book";
import { toField } from "../field";
import { useOnce } from "../once";
import { NONE_OF_THESE, why, type ReviewAnswer } from "./answer";

/** The mechanic's own first guess, named before the answer is seen, so that both can be compared later. */
export function FirstGuess({ jobId, review, onKept, onSkip }: { jobId: string; review: ReviewAnswer; onKept: () => void; onSkip: () => void }) {
  const [guess, setGuess] = useState("");
  const [problem, setProblem] = useState<string | null>(null);
  const [tapped, setTapped] = useState(false);
  const lacks = tapped && !guess;
  const once = useOnce();
  // By name, not by probability: the order must not tell the answer.
  const choices = review.causes.filter((c) => c.id !== NONE_OF_THESE).map(({ id, label }) => ({ id, label })).sort((a, b) => a.label.localeCompare(b.label));
  const keep = () => once(async () => {
    setTapped(true);
    if (!guess) return toField("guess");
    try {
      await api.put(`/jobs/${jobId}/first-guess`, { cause: guess });
      onKept();
    } catch (error) {
      setProblem(why(error));
    }
  });
  return (
    <section>
      <h2>What do you think it is?</h2>
      <p class="s">Named before the answer is shown, it stays beside it.</p>
      <label class="sr" for="field-guess">First guess</label>
      <select id="field-guess" class="fld full" value={guess} aria-invalid={lacks || undefined} aria-describedby={lacks ? "wrong-guess" : undefined}
        onChange={(e) => { setGuess(e.currentTarget.value); setProblem(null); }}>
        <option value="">Choose…</option>
        {choices.map((c) => <option key={c.id} value={c.id}>{c.label}</option>)}
        <option value={NONE_OF_THESE}>Something not in the table</option>
      </select>
      {lacks && <p class="note stop mt" id="wrong-guess" role="alert">Choose what you think it is, or go on with “No guess”.</p>}
      {problem && <p class="note stop mt" role="alert">{problem}</p>}
      <div class="c2 mt">
        <button type="button" class="big" onClick={onSkip}>No guess</button>
        <button type="button" class="big go" onClick={keep}>Keep my guess</button>
      </div>
    </section>
  );
}
