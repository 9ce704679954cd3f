import { useState } from "preact/hooks";
import { v7 } from "uuid";
import { api, sendNow } from "../../book";
import { PickOne } from "../../look/touch";
import { toField } from "../field";
import { useOnce } from "../once";
import { NONE_OF_THESE, why, type Close, type ReviewAnswer } from "./answer";

const OUTCOMES: { id: Close["outcome"]; label: string }[] = [
  { id: "found", label: "cause found" },
  { id: "not_found", label: "not found" },
  { id: "no_fault", label: "nothing wrong" },
];
const BEARERS = [{ id: "shop", label: "the shop" }, { id: "rider", label: "the rider" }];

/** Closed by a person: what it was, what was done, who bears it. The shop learns from it. */
export function Closing({ jobId, review, onDone }: { jobId: string; review: ReviewAnswer; onDone: () => void }) {
  const [id] = useState(() => v7());
  const [outcome, setOutcome] = useState<string | null>(null);
  const [cause, setCause] = useState("");
  const [remedy, setRemedy] = useState("");
  const [bearer, setBearer] = useState<string | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  const [tapped, setTapped] = useState(false);
  const noOutcome = outcome === null;
  const noCause = outcome === "found" && !cause;
  const once = useOnce();
  const close = () => once(async () => {
    setTapped(true);
    setProblem(null);
    if (noOutcome) return;
    if (noCause) return toField("cause");
    try {
      const found = outcome === "found" ? { cause } : {};
      await api.post(`/jobs/${jobId}/close`, { id, outcome, ...found, ...(remedy.trim() && { remedy: remedy.trim() }), ...(bearer && { borne_by: bearer }) });
      void sendNow();
      onDone();
    } catch (error) {
      setProblem(why(error));
    }
  });
  return (
    <section>
      <h2>Close the comeback</h2>
      <PickOne label="Outcome" value={outcome} onPick={(id) => { setOutcome(id); setTapped(false); }} choices={OUTCOMES} />
      {tapped && noOutcome && <p class="note stop mt" role="alert">Say first whether the cause was found.</p>}
      {outcome === "found" && (
        <>
          <label class="mt" for="field-cause">Cause found</label>
          <select id="field-cause" class="fld full" value={cause} aria-invalid={(tapped && noCause) || undefined} aria-describedby={tapped && noCause ? "wrong-cause" : undefined} onChange={(e) => setCause(e.currentTarget.value)}>
            <option value="">Choose…</option>
            {review.causes.filter((c) => c.id !== NONE_OF_THESE).map((c) => <option key={c.id} value={c.id}>{c.label}</option>)}
            <option value={NONE_OF_THESE}>Something not in the table</option>
          </select>
          {tapped && noCause && <p class="note stop mt" id="wrong-cause" role="alert">Choose the cause that was found.</p>}
        </>
      )}
      <label class="mt" for="remedy">What was done</label>
      <input id="remedy" class="fld full" value={remedy} maxLength={2000} onInput={(e) => setRemedy(e.currentTarget.value)} />
      <p class="mt" aria-hidden="true">Borne by</p>
      <PickOne label="Borne by" value={bearer} onPick={setBearer} loose choices={BEARERS} />
      {problem && <p class="note stop mt" role="alert">{problem}</p>}
      <button type="button" class="big full mt" onClick={close}>Close the comeback</button>
    </section>
  );
}

/** What it turned out to be. */
export function Closed({ review }: { review: ReviewAnswer }) {
  const closing = review.closing!;
  const outcome = OUTCOMES.find((o) => o.id === closing.outcome)!.label;
  const label = review.causes.find((c) => c.id === closing.cause)?.label ?? "something not in the table";
  const bearer = BEARERS.find((b) => b.id === closing.borne_by)?.label;
  return (
    <p class="note">
      <b>Closed: {closing.outcome === "found" ? label : outcome}.</b>
      {closing.remedy && ` ${closing.remedy.replace(/\.?$/, ".")}`}
      {bearer && ` Borne by ${bearer}.`}
    </p>
  );
}
