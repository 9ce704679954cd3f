import { count } from "./number";
import { At } from "./rule";

export type StepMark = "done" | "now" | "todo" | "held";

const GLYPH: Record<StepMark, [string, string]> = {
  done: ["done", "M7 6V20"],
  now: ["cur", "M7 0V24"],
  todo: ["todo", "M7 12V20"],
  held: ["held", "M2 6H12V20H2ZM2 20L12 6"],
};

/** The plan as a rule: one place a step. */
export function PlanRule({ steps, h = 30 }: { steps: StepMark[]; h?: number }) {
  const b = h - 4;
  const path: Record<StepMark, [string, string]> = {
    done: ["done", `M0 ${b - 14}V${b}`],
    now: ["cur", `M0 6V${h}`],
    todo: ["todo", `M0 ${b - 8}V${b}`],
    held: ["held", `M-5 ${b - 14}H5V${b}H-5ZM-5 ${b}L5 ${b - 14}`],
  };
  return (
    <svg class="plan" height={h} role="img" aria-label={spokenPlan(steps)}>
      <line class="edge" x1="0" x2="100%" y1={b} y2={b} />
      {steps.map((s, i) => <At p={((i + 0.5) * 100) / steps.length}><path class={path[s][0]} d={path[s][1]} /></At>)}
    </svg>
  );
}

export function spokenPlan(steps: StepMark[]): string {
  const of = (m: StepMark) => steps.filter((s) => s === m).length;
  const now = steps.indexOf("now") + 1;
  const held = of("held") ? `, ${of("held")} held` : "";
  return `Plan: ${now ? `step ${now} of ${steps.length}` : count(steps.length, "step")}, ${of("done")} done${held}`;
}

export function StepGlyph({ mark }: { mark: StepMark }) {
  const [cls, d] = GLYPH[mark];
  return <svg width="14" height="24" aria-hidden="true"><path class={cls} d={d} /></svg>;
}
