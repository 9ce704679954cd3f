import { JobHead, JobIndex } from "../job/head";
import { Page } from "../page";
import { jobLink } from "../route";
import { TOOLS, toolLink, toolsFor, type Tool } from "../tools";
import type { Work } from "../work";
import { ShopIndex } from "../shop_index";

/** Without a bike: what needs nothing that only a job knows. */
const ALONE: readonly Tool["id"][] = ["hanger", "chain", "wear", "torque", "noise", "gears"];

/** What each of them tells. */
const WORDS: Record<Tool["id"], string> = {
  hanger: "gaps round the clock face: which way it is bent, and what that does to the shifting",
  chain: "links to cut, and what the rear derailleur takes up",
  wear: "elongation from the measured length of some links",
  rub: "the best fine position from the first noise on three cogs, and the hanger's tilt since the handover",
  torque: "with an adapter, in other units, and what the wrench is good for",
  noise: "which part turns at its pace, counted in ten turns or tapped",
  cage: "its rotation from the gaps at its two ends",
  gears: "ratio, development and chain angle of each gear",
};

/** Everything that can be worked out; nothing is written down unless it is kept. */
export function WorkOutIndex({ work }: { work: Work | null }) {
  const tools = work ? toolsFor(work) : TOOLS.filter((tool) => ALONE.includes(tool.id));
  const link = (tool: Tool) => (!work ? `#/work-out/${tool.id}` : tool.id === "hanger" ? hangerLink(work) : toolLink(work.job.id, tool.id));
  return (
    <Page title="Work it out" head={work ? <><JobHead work={work} plan={false} /><p class="h1" aria-hidden="true">Work it out</p></> : undefined} foot={
      work ? <JobIndex work={work} at="work-out" /> : <ShopIndex at="work_out" />
    }>
      <p class="s">{work ? "Worked out on this phone, with or without a signal. Nothing is written down unless you keep it." : "For no bike in particular: nothing is written down. From a bike's job its own figures are filled in, and what is found can be kept."}</p>
      <ul class="mt">
        {tools.map((tool) => (
          <li class="li" key={tool.id}><a class="bare" href={link(tool)}><b>{tool.label}</b><span class="s">{WORDS[tool.id]}</span></a></li>
        ))}
      </ul>
    </Page>
  );
}

/** With a bike the clock face is a reading of its own. */
function hangerLink(work: Work): string {
  const at = work.steps.find((s) => s.step.quantities.includes("hanger_deviation")) ?? work.steps.find((s) => s.step.also_quantities?.includes("hanger_deviation"));
  return at ? jobLink(work.job.id, "bench", at.step.id, "hanger_deviation") : toolLink(work.job.id, "hanger");
}
