import type { Step } from "../../catalogue";
import { jobLink } from "../route";
import { tried, triedWords } from "../shifts/tried";
import type { Work } from "../work";

/** What can be written down beside what the step asks: the shifts it offers to try, a remark, any check. */
export function Beside({ work, step }: { work: Work; step: Step }) {
  const link = (item: string) => jobLink(work.job.id, "bench", step.id, item);
  return (
    <>
      <h2>Also here</h2>
      {!!step.also_shifts?.length && <p class="s mb">{triedWords(work.cat, tried(work.standing, ["bench", "road"]))}</p>}
      <div class="leaves mb">
        {!!step.also_shifts?.length && <a class="b big" href={link("shifts")}>Shift checks</a>}
        <a class="b big" href={link("note")}>Remark or check</a>
      </div>
    </>
  );
}
