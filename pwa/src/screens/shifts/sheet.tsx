import { useRef, useState } from "preact/hooks";
import { log, undo } from "../../book";
import { count } from "../../look/number";
import { Leaf } from "../../look/touch";
import type { EntryDraft, Gear, ShiftOutcome, Stage } from "../../nouns";
import { gearWords, labelOf } from "../entry_words";
import { JobHead } from "../job/head";
import { WhoLogs } from "../job/who_logs";
import { withKm } from "../kilometres";
import { notSaved } from "../once";
import { Page } from "../page";
import type { Work } from "../work";
import { codeOf, ShiftGrid } from "./shift_grid";
import "./shifts.css";
import { tried, triedWords, type ShiftCheck } from "./tried";
import { after, nextGear, outermost, walked } from "./walk";

export interface ShiftProps { work: Work; stage: Stage; start?: Gear | null; back: string; backWords: string }

/** Shift checks: from where the chain lies, one tap for a clean shift, one more for any other. It writes down what happened. */
export function ShiftSheet({ work, stage: first, start, back, backWords }: ShiftProps) {
  const { cat, bike: { drivetrain } } = work;
  const [stage, setStage] = useState(first);
  const last = lastCheck(work);
  const [at, setAt] = useState<Gear>(() => (last && first === last.stage ? after(last.data) : start ?? (last ? after(last.data) : outermost(drivetrain))));
  const [outcome, setOutcome] = useState<ShiftOutcome>("clean");
  const [moving, setMoving] = useState(false);
  const [said, setSaid] = useState<{ id: string; data: ShiftCheck["data"] }[]>([]);
  const [problem, setProblem] = useState<string | null>(null);
  const found = tried(work.standing, [stage]);
  const next = nextGear(drivetrain, at, said.at(-1)?.data ?? last?.data ?? null);
  const { tried: done, of } = walked(drivetrain, at.ring, found);

  // One after the other: taps may come faster than they are written.
  const line = useRef<Promise<void>>(Promise.resolve());
  const write = (to: Gear) => {
    const data = { from: at, to, outcome };
    setOutcome("clean");
    setAt(after(data));
    setProblem(null);
    const draft: EntryDraft = { kind: "shift_check", stage, data };
    line.current = line.current.then(async () => {
      try {
        const kept = await log(work.job.id, stage === "road" ? draft : withKm(work.job.id, draft));
        setSaid((all) => [...all, { id: kept.entry.id, data }]);
      } catch (error) {
        setAt(at);
        setProblem(notSaved(error));
      }
    });
  };
  const onGear = (to: Gear) => {
    if (moving) {
      setAt(to);
      if (to.cog !== at.cog || drivetrain.cogs.length === 1) setMoving(false);
    } else if (to.ring === at.ring && to.cog === at.cog) setProblem("It is in this gear already: tap the gear it went to.");
    else write(to);
  };
  const takeBack = () => {
    const one = said.at(-1);
    if (!one) return;
    line.current = line.current.then(() => undo(one.id)).then(() => {
      setSaid((all) => all.filter((e) => e !== one));
      setAt(one.data.from);
    }, (error) => setProblem(notSaved(error)));
  };
  const newest = said.at(-1);

  return (
    <Page title="Shift checks" head={<JobHead work={work} plan={false} />} foot={
      <>
        {problem && <p class="note stop" role="alert">{problem}</p>}
        <div class="went" role="group" aria-label="How it went">
          {cat.outcomes.map((o) => <Leaf on={outcome === o.id} onPick={() => setOutcome(outcome === o.id ? "clean" : o.id as ShiftOutcome)}>{o.label}</Leaf>)}
        </div>
        <WhoLogs beside />
        <div class="row">
          <a class="b big" href={back} aria-label={backWords}>Back</a>
          {next && <button type="button" class="big go w col" onClick={() => write(next)}>Write down<small>it went {at.cog} to {next.cog}: {labelOf(cat.outcomes, outcome)}</small></button>}
        </div>
      </>
    }>
      <p class="h1 step" aria-hidden="true">Shift checks</p>
      <p class="s tall">{stage === "road" ? "Stand clear of the road. This page writes down what the bike has done; it moves nothing on it." : "Tap the gear it went to. How it went is chosen first, where it was not clean."}</p>
      <div class="row sp said" role="status">
        {newest
          ? <><span>Written down: it went <b>{gearWords(newest.data.from)} to {gearWords(newest.data.to)}: {labelOf(cat.outcomes, newest.data.outcome)}</b></span>
            <button type="button" class="flat" onClick={takeBack}>Undo</button></>
          : <span class="s">{found.size ? `${count(found.size, "shift")} tried before; more can follow.` : "Nothing written down here yet."}</span>}
      </div>
      <div class="row sp mb said">
        <p>{moving ? "Which gear is it in? Tap it; nothing is written." : <>It is in <b>{gearWords(at)}</b>. Which gear did it go to?</>}</p>
        <Leaf on={moving} onPick={() => setMoving(!moving)}>in another</Leaf>
      </div>
      <ShiftGrid cat={cat} drivetrain={drivetrain} found={found} at={at} next={moving ? null : next} onGear={onGear} />
      <Legend work={work} found={found} />
      {work.job.kind !== "build" && stage !== "road" && <p class="mb"><Leaf on={stage === "found"} onPick={() => setStage(stage === "found" ? "bench" : "found")}>as found</Leaf></p>}
      <p class="s mb">{triedWords(cat, found)} On the {at.ring}: {done} of {of} from cog to cog.</p>
    </Page>
  );
}

function lastCheck(work: Work): ShiftCheck | null {
  return work.standing.findLast((e): e is ShiftCheck => e.kind === "shift_check") ?? null;
}

/** The letters that stand in the grid, in words. */
function Legend({ work, found }: { work: Work; found: ReadonlyMap<string, ShiftCheck> }) {
  const shown = new Set([...found.values()].map((e) => e.data.outcome));
  const words = work.cat.outcomes.filter((o) => shown.has(o.id as ShiftOutcome)).map((o) => `${codeOf(work.cat, o.id)} ${o.label}`);
  return <p class="xs mb">{words.length ? `${words.join(", ")}; left: from outboard, right: from inboard.` : "Under each gear: how the shifts into it went, from outboard left, from inboard right."}</p>;
}
