import { useState } from "preact/hooks";
import { putJob } from "../../book";
import { onBike } from "../../catalogue";
import { StepGlyph } from "../../look/plan_rule";
import { PickSome } from "../../look/touch";
import type { Bike, Job } from "../../nouns";
import { labelOf } from "../entry_words";
import { Waiting } from "../missing";
import { Page } from "../page";
import { jobLink } from "../route";
import { useWork, type Work, type WorkStep } from "../work";
import { AfterHandover, JobHead, JobIndex } from "./head";
import { Words } from "./words";
import { WrittenDown } from "./written";
import { Kilometres } from "../kilometres";

/** All steps of a job, what is missing, and what has been written down. */
export function Plan({ bike, job }: { bike: Bike; job: Job }) {
  const work = useWork(bike, job);
  const [parts, setParts] = useState(false);
  if (!work) return <Waiting />;
  const { now } = work;
  return (
    <Page title={`Plan of the ${job.kind}`} head={<JobHead work={work} />} foot={
      <>
        <div class="row">
          <button type="button" class="big w" aria-expanded={parts} onClick={() => setParts(!parts)}>{job.missing_parts?.length ? "Part is here" : "Part is missing"}</button>
          {now && <a class="b big go w" href={jobLink(job.id, "bench", now.step.id)}>Next: {now.step.label.toLowerCase()}</a>}
        </div>
        <JobIndex work={work} at="plan" />
      </>
    }>
      {parts && <Parts work={work} />}
      <p class="h1 step" aria-hidden="true">Plan of the {job.kind}</p>
      <AfterHandover work={work} />
      <ol class="pln">{work.steps.map((s, i) => <Row key={s.step.id} work={work} at={s} n={i + 1} />)}</ol>
      <p class="mt3"><a class="b flat full" href={jobLink(job.id, "work-out")}>Work it out: chain, torque, noise</a></p>
      <WrittenDown work={work} />
      <Kilometres jobId={job.id} />
      <h2>In words</h2>
      <Words jobId={job.id} stage="bench" />
    </Page>
  );
}

function Row({ work, at, n }: { work: Work; at: WorkStep; n: number }) {
  const mark = at === work.now ? "now" : at.state.state === "done" ? "done" : at.state.state === "held" ? "held" : "todo";
  return (
    <li class={at === work.now ? "now" : ""}>
      <a href={jobLink(work.job.id, "bench", at.step.id)}><StepGlyph mark={mark} /><b>{n}</b><span>{at.step.label}</span><span class="s r">{stateWords(work, at)}</span></a>
    </li>
  );
}

function stateWords(work: Work, at: WorkStep): string {
  const { state } = at;
  const before = (state.waits_for ?? []).map((id) => work.steps.findIndex((s) => s.step.id === id) + 1).sort((a, b) => a - b);
  if (state.state === "done") return "done";
  if (state.state === "held") {
    const own = at.step.parts?.filter((p) => state.held_by_part?.includes(p)) ?? [];
    if (own.length) return `held, no ${labelOf(work.cat.parts, own[0]!)}`;
    if (state.held_by_check?.length) return "blocked by a failed check";
    return `held by ${before.join(", ")}`;
  }
  if (state.state === "waiting") return `waits for ${before.slice(0, 3).join(", ")}${before.length > 3 ? " …" : ""}`;
  const read = at.quantities.filter((q) => q.readingId).length;
  return at.quantities.length > 1 && read ? `${read} of ${at.quantities.length} read` : "ready";
}

function Parts({ work }: { work: Work }) {
  const { seq: _seq, state: _state, ...job } = work.job;
  return (
    <fieldset>
      <legend>Parts that are not here</legend>
      <p class="s">A part that has come: tap it, and what it held up is free.</p>
      <PickSome label="Missing parts" cls="mt" choices={onBike(work.cat.parts, work.facts, job.missing_parts)} value={job.missing_parts ?? []} onPick={(ids) => void putJob({ ...job, missing_parts: ids })} />
    </fieldset>
  );
}
