import { log } from "../../book";
import { applies } from "../../catalogue";
import type { Stage } from "../../nouns";
import { checkEntry, CheckRow } from "../check_row";
import { Page } from "../page";
import { outcomeOf, STEP_DONE, type Work } from "../work";
import { AfterHandover, JobHead } from "./head";
import { WhoLogs } from "./who_logs";
import { Words } from "./words";

export interface NoteProps { work: Work; stage: Stage; /** Checks that belong to where it was opened from. */ checks?: string[]; back: string; backWords: string }

/** What comes up beside the step at hand: a remark, work that was not wanted, any check. */
export function NoteSheet({ work, stage, checks: own = [], back, backWords }: NoteProps) {
  const all = work.cat.checks.filter((c) => !c.id.startsWith(STEP_DONE) && applies(c.applies ?? {}, work.facts));
  const checks = [...all.filter((c) => own.includes(c.id)), ...all.filter((c) => !own.includes(c.id))];
  return (
    <Page title="Remark or check" head={<JobHead work={work} plan={false} />} foot={<><WhoLogs /><a class="b big go full" href={back}>{backWords}</a></>}>
      <p class="h1 step" aria-hidden="true">Remark or check</p>
      <AfterHandover work={work} />
      <Words jobId={work.job.id} stage={stage} first />
      <h2>A check</h2>
      <ul>
        {checks.map((c) => (
          <CheckRow key={c.id} check={c} entry={checkEntry(work, c.id)} outcome={outcomeOf(work, c.id)} onOutcome={(outcome) => void log(work.job.id, { kind: "check", stage, data: { check: c.id, outcome } })} />
        ))}
      </ul>
    </Page>
  );
}
