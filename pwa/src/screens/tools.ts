/** What can be worked out at the bike, and where it is offered; the pages themselves are loaded when they are opened. */
import type { Step } from "../catalogue";
import type { Work } from "./work";
import { jobLink } from "./route";

export interface Tool {
  id: "hanger" | "chain" | "wear" | "rub" | "torque" | "noise" | "cage" | "gears";
  label: string;
  /** Offered in the steps that ask for one of these. */
  quantities: string[];
  /** Only on bikes that are asked this. */
  needs?: string;
}

export const TOOLS: readonly Tool[] = [
  { id: "hanger", label: "Hanger", quantities: [], needs: "hanger_deviation" },
  { id: "chain", label: "Chain length", quantities: ["chain_links"] },
  { id: "wear", label: "Chain wear", quantities: ["chain_elongation"] },
  { id: "rub", label: "Rub window", quantities: ["rub_in_steps", "rub_out_steps"], needs: "rub_in_steps" },
  { id: "torque", label: "Torque", quantities: [] },
  { id: "noise", label: "Noise", quantities: ["rear_trim", "cable_tension_turns"] },
  { id: "cage", label: "Front cage", quantities: ["cage_alignment"], needs: "cage_alignment" },
  { id: "gears", label: "Gears", quantities: [] },
];

/** Quantities this bike is asked, of all steps. */
function asked(work: Pick<Work, "steps">): Set<string> {
  return new Set(work.steps.flatMap((s) => [...s.step.quantities, ...(s.step.also_quantities ?? [])]));
}

/** What can be worked out for this bike. */
export function toolsFor(work: Pick<Work, "steps">): Tool[] {
  const has = asked(work);
  return TOOLS.filter((tool) => !tool.needs || has.has(tool.needs));
}

/** What helps in one step. */
export function toolsOf(step: Step): Tool[] {
  const here = [...step.quantities, ...(step.also_quantities ?? [])];
  return TOOLS.filter((tool) => tool.quantities.some((q) => here.includes(q)) || (tool.id === "noise" && step.id === "arrival"));
}

/** What works out one quantity; undefined where it is simply read. */
export const toolFor = (quantity: string): Tool | undefined => TOOLS.find((tool) => tool.id !== "noise" && tool.quantities.includes(quantity));

export const toolLink = (jobId: string, tool: string, ...rest: string[]): string => jobLink(jobId, "work-out", tool, ...rest);
