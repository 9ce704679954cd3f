import { useEffect } from "preact/hooks";
import { bikeById, jobById, log, openRide, ride } from "../../book";
import type { Bike, Job } from "../../nouns";
import { Cautions } from "../bench/cautions";
import { checkEntry, CheckRow } from "../check_row";
import { JobHead, JobIndex } from "../job/head";
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
  if (page === "note") return <NoteSheet work={work} stage={stage} checks={riding ? [] : stopChecks(work).map((c) => c.id)} {...back} />;
  if (riding) return <Stopped work={work} ride={ride.value!} />;
  const other = ride.value && jobById(ride.value.jobId);
  return <Before work={work} other={other ? { job: other, bike: bikeById(other.bike_id) } : null} />;
}

const RIDE_CAUTIONS = ["stop_first", "away_from_traffic", "hot_discs"];

function Before({ work, other }: { work: Work; other: { job: Job; bike: Bike | undefined } | null }) {
  const failed = work.failedStops;
  const open = work.openStops;
  const checks = stopChecks(work);
  const closed = work.job.state !== "open";
  const ridden = lastRide(work.standing);
  const later = useLater(() => import("../beside"));
  return (
    <Page title="Before the ride" head={<JobHead work={work} />} foot={
      <>
        {other ? <p class="note">The ride of {other.bike?.label ?? "another bike"} is still open. <a href={jobLink(other.job.id, "road")}>End it first</a></p>
          : failed.length ? <p class="note stop" role="alert"><b>The ride is blocked.</b> Failed: {failed.map((c) => c.label.toLowerCase()).join(", ")}. Put it right and pass it first.</p>
          : closed ? <p class="note">This job is {work.job.state === "closed" ? "closed" : "handed over"}: a new ride belongs to a new job.</p>
          : (
            <button type="button" class="big go col full" onClick={() => void openRide(work.job.id)}>
              Start the test ride
              {open.length > 0 && <small>{open.length} of {checks.length} stop-ride checks not yet passed</small>}
            </button>
          )}
        <JobIndex work={work} at="road" />
      </>
    }>
      <p class="h1 step" aria-hidden="true">Before the ride</p>
      {ridden.length > 0 && later && <later.RideSummary work={work} road={ridden} title="The last ride" />}
      <Cautions work={work} ids={RIDE_CAUTIONS} />
      <h2>Stop-ride checks</h2>
      <ul>
        {checks.map((c) => (
          <CheckRow key={c.id} check={c} entry={checkEntry(work, c.id)} outcome={outcomeOf(work, c.id)}
            onOutcome={(outcome) => void log(work.job.id, { kind: "check", stage: "bench", data: { check: c.id, outcome } })} />
        ))}
      </ul>
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
