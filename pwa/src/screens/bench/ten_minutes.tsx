import { useEffect, useState } from "preact/hooks";
import { api, signal as reach } from "../../book";
import type { components } from "../../contract";
import { jobLink } from "../route";
import type { Work } from "../work";

type Answer = components["schemas"]["TenMinutes"];

const MOST = 3;

/** With little time: the open checks that keep most bikes of this family from coming back, by the shop's own history. */
export function TenMinutes({ work }: { work: Work }) {
  const [answer, setAnswer] = useState<Answer | null>(null);
  const online = reach.value === "online";
  useEffect(() => {
    if (online) api.get<Answer>(`/bikes/${work.bike.id}/ten-minutes`).then(setAnswer, () => undefined);
  }, [work.bike.id, online]);
  const advice = answer?.advice.filter((one) => one.prevented > 0).slice(0, MOST) ?? [];
  if (!advice.length) return null;
  return (
    <>
      <h2>Ten minutes left? Look at these first</h2>
      <ol>
        {advice.map((one) => <li class="li" key={one.what}><a class="bare" href={linkTo(work, one)}><b>{one.label}</b><span class="s">{one.words.replace(`${one.label}: `, "")}</span></a></li>)}
      </ol>
    </>
  );
}

/** The line it is read on, else the page of checks. */
function linkTo(work: Work, { what, kind }: Answer["advice"][number]): string {
  const arrival = work.steps.find((s) => s.step.id === "arrival");
  const has = (s: Work["steps"][number]) =>
    [...s.quantities, ...s.also].some((q) => q.quantity.id === what) || [...s.fasteners, ...s.alsoFasteners].some((f) => f.id === what);
  const step = kind === "check" ? work.steps.find((s) => s.checks.some((c) => c.id === what)) : arrival && has(arrival) ? arrival : work.steps.find(has);
  if (!step) return jobLink(work.job.id, "bench", "arrival", "note");
  return jobLink(work.job.id, "bench", step.step.id, ...(kind === "check" ? [] : [what]));
}
