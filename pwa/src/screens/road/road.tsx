import type { RefObject } from "preact";
import { useEffect, useRef, useState } from "preact/hooks";
import { bikeById, jobById, log, openRide, ride } from "../../book";
import type { Bike, Job, Stage } from "../../nouns";
import { count } from "../../look/number";
import { Cautions } from "../bench/cautions";
import { checkEntry, CheckRow } from "../check_row";
import { JobHead, JobIndex } from "../job/head";
import { WhoLogs } from "../job/who_logs";
import { Waiting } from "../missing";
import { Page } from "../page";
import { here, jobLink } from "../route";
import { NoteSheet, ShiftSheet } from "../job/sheets";
import { useLater } from "../later";
import { lastRide } from "./ridden";
import { outcomeOf, stopChecks, useWork, type Work } from "../work";
import { gearBegun, Stopped } from "./stopped";

/** The test ride: its checks before the first metre, then a page for each stop. */
export function Road({ bike, job }: { bike: Bike; job: Job }) {
  const work = useWork(bike, job);
  const riding = ride.value?.jobId === job.id;
  useAwake(riding);
  if (!work) return <Waiting />;
  const back = { back: jobLink(job.id, "road"), backWords: riding ? "Back to the stop" : "Back: before the ride" };
  const stage = riding ? "road" : "bench";
  const [page] = here.value.rest;
  if (page === "shifts") return <ShiftSheet key={stage} work={work} stage={stage} start={riding ? gearBegun(ride.value!) : null} {...back} />;
  if (page === "checks" && riding) return <ChecksPage work={work} {...back} />;
  if (page === "note") return <NoteSheet work={work} stage={stage} checks={riding ? [] : stopChecks(work).map((c) => c.id)} {...back} />;
  if (riding) return <Stopped work={work} ride={ride.value!} />;
  const other = ride.value && jobById(ride.value.jobId);
  return <Before work={work} other={other ? { job: other, bike: bikeById(other.bike_id) } : null} />;
}

const RIDE_CAUTIONS = ["stop_first", "away_from_traffic", "hot_discs"];

function Before({ work, other }: { work: Work; other: { job: Job; bike: Bike | undefined } | null }) {
  const failed = work.failedStops;
  const open = work.openStops;
  const [asked, setAsked] = useState(false);
  const list = useRef<HTMLUListElement>(null);
  const toFirst = () => {
    setAsked(false);
    list.current?.children[stopChecks(work).indexOf(open[0]!)]?.scrollIntoView();
  };
  const closed = work.job.state !== "open";
  const ridden = lastRide(work.standing);
  const later = useLater(() => import("../beside"));
  return (
    <Page title="Before the ride" head={<JobHead work={work} />} foot={
      <>
        {other ? <p class="note">The ride of {other.bike?.label ?? "another bike"} is still open. <a href={jobLink(other.job.id, "road")}>End it first</a></p>
          : failed.length ? <p class="note stop" role="alert"><b>The ride is blocked.</b> Failed: {failed.map((c) => c.label.toLowerCase()).join(", ")}. Put it right and pass it first.</p>
          : closed ? <p class="note">This job is {work.job.state === "closed" ? "closed" : "handed over"}: a new ride belongs to a new job.</p>
          : asked && open.length ? (
            <>
              <p class="note stop" role="alert"><b>Not done:</b> {open.map((c) => c.label.toLowerCase()).join("; ")}.</p>
              <button type="button" class="big flat full" onClick={() => void openRide(work.job.id)}>Start with {count(open.length, "check")} not done</button>
              <button type="button" class="big go full" onClick={toFirst}>Do the checks</button>
            </>
          ) : (
            <button type="button" class="big go col full" onClick={() => (open.length ? setAsked(true) : void openRide(work.job.id))}>
              Start the test ride
              {open.length > 0 && <small>{open.length} of {stopChecks(work).length} stop-ride checks not yet passed</small>}
            </button>
          )}
        <JobIndex work={work} at="road" />
      </>
    }>
      <p class="h1 step" aria-hidden="true">Before the ride</p>
      {ridden.length > 0 && later && <later.RideSummary work={work} road={ridden} title="The last ride" />}
      <Cautions work={work} ids={RIDE_CAUTIONS} />
      <h2>Stop-ride checks</h2>
      <Checks work={work} stage="bench" list={list} />
    </Page>
  );
}

function Checks({ work, stage, list }: { work: Work; stage: Stage; list?: RefObject<HTMLUListElement | null> }) {
  return (
    <ul ref={list}>
      {stopChecks(work).map((c) => (
        <CheckRow key={c.id} check={c} entry={checkEntry(work, c.id)} outcome={outcomeOf(work, c.id)}
          onOutcome={(outcome) => void log(work.job.id, { kind: "check", stage, data: { check: c.id, outcome } })} />
      ))}
    </ul>
  );
}

/** The same at a stop: what was left open before the start can still be done. */
function ChecksPage({ work, back, backWords }: { work: Work; back: string; backWords: string }) {
  return (
    <Page title="Stop-ride checks" head={<JobHead work={work} plan={false} />} foot={<><WhoLogs /><a class="b big go full" href={back}>{backWords}</a></>}>
      <p class="h1 step" aria-hidden="true">Stop-ride checks</p>
      <Checks work={work} stage="road" />
    </Page>
  );
}

/** The screen stays on while the ride is open and this page is looked at. */
function useAwake(riding: boolean): void {
  useEffect(() => {
    if (!riding || !("wakeLock" in navigator)) return;
    let lock: WakeLockSentinel | null = null;
    let over = false;
    const ask = () => {
      if (document.visibilityState === "visible") navigator.wakeLock.request("screen").then((l) => (over ? void l.release() : (lock = l)), () => undefined);
    };
    ask();
    document.addEventListener("visibilitychange", ask);
    return () => {
      over = true;
      document.removeEventListener("visibilitychange", ask);
      void lock?.release();
    };
  }, [riding]);
}
