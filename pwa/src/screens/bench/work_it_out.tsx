import type { Step } from "../../catalogue";
import { jobLink } from "../route";
import { toolLink, toolsOf } from "../tools";
import type { Work } from "../work";

/** What can be worked out in this step, and the way to all the rest. */
export function WorkItOut({ work, step }: { work: Work; step: Step }) {
  return (
    <>
      <h2>Work it out</h2>
      <div class="leaves mb">
        {toolsOf(step).map((tool) => <a key={tool.id} class="b" href={toolLink(work.job.id, tool.id, step.id)}>{tool.label}</a>)}
        <a class="b flat" href={jobLink(work.job.id, "work-out")}>All of them</a>
      </div>
    </>
  );
}
