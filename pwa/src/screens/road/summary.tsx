import { count } from "../../look/number";
import type { Entry } from "../../nouns";
import { turnedWords } from "../entry_words";
import { tried, triedWords } from "../shifts/tried";
import type { Work } from "../work";
import { judgedIn, notJudged, sinceTheStand, turnedInAll, uncheckedBefore, unjudgedTurning } from "./ridden";

export interface SummaryProps { work: Work; road: readonly Entry[]; title: string }

/** A ride in short: what it changed from the stand, the shifts tried, and what it leaves open. */
export function RideSummary({ work, road, title }: SummaryProps) {
  const changed = turnedInAll(work, sinceTheStand(work, road));
  const turned = turnedInAll(work, road);
  const list = (all: string[], where: string) => (all.length ? <>{all.map((words) => <div><b>{words}</b></div>)}<span class="s">{where}</span></> : `nothing ${where}`);
  const shifts = triedWords(work.cat, tried(road, ["road"]));
  const noises = road.filter((e) => e.kind === "noise").length;
  const open = unjudgedTurning(road);
  const unchecked = uncheckedBefore(work, road[0]);
  const left = notJudged(work.bike.drivetrain, judgedIn(road));
  return (
    <section aria-label={title}>
      <h2>{title}</h2>
      <dl class="facts">
        {unchecked.length > 0 && <><dt>Unchecked</dt><dd>{unchecked.map((c) => <div>{c.label}</div>)}<span class="s">not passed before the start</span></dd></>}
        <dt>Changed</dt><dd>{list(changed, "from the stand")}</dd>
        {changed.join() !== turned.join() && <><dt>Turned</dt><dd>{list(turned, "on this ride alone")}</dd></>}
        <dt>Shifts</dt><dd>{shifts || "none tried on the road"}</dd>
        {noises > 0 && <><dt>Noises</dt><dd>{count(noises, "note")}</dd></>}
        <dt>Left open</dt>
        <dd>
          {open && <div>What the last turning did, {work.cat.adjusters.find((a) => a.id === open.data.adjuster)?.short} {turnedWords(work.cat, open.data.adjuster, open.data.amount, open.data.unit)}, was not judged.</div>}
          {left.map((words) => <div>{words}</div>)}
          {!open && !left.length && "nothing: every gear was judged"}
        </dd>
      </dl>
    </section>
  );
}
