import { useEffect, useState } from "preact/hooks";
import { bikes, jobs, jobsOf, ride, unsentOf } from "../book";
import { count, date } from "../look/number";
import { PlanRule } from "../look/plan_rule";
import { PickOne } from "../look/touch";
import { Verdict } from "../look/verdict";
import type { Bike, Job } from "../nouns";
import { drivetrainWords, matches } from "./bike/facts";
import { lookedFor } from "./fold";
import { goingOut } from "./going_out";
import { late } from "./late";
import { useNear } from "./near";
import { Notices, noneWaits } from "./notices";
import { Page } from "./page";
import { jobLink } from "./route";
import { ShopIndex } from "./shop_index";
import { useWork } from "./work";

type Filter = "open" | "held" | "all";

interface Row { bike: Bike; job: Job | null }

const Scan = late<{ onClose: () => void }>("Scan a bike's code", () => import("./beside").then((m) => m.Scan));
/** Only where the browser can read a code, and has a camera to read it with. */
const canScan = "BarcodeDetector" in globalThis && !!globalThis.navigator?.mediaDevices;

const today = new Intl.DateTimeFormat("en-GB", { weekday: "long", day: "numeric", month: "long" });
const PAGE = 40;

/** All bikes of the shop that this phone knows; open jobs first. */
export function Bikes() {
  const [filter, setFilter] = useState<Filter>("open");
  const [query, setQuery] = useState("");
  const [scanning, setScanning] = useState(false);
  const [shown, setShown] = useState(PAGE);
  const all: Row[] = bikes.value.map((bike) => ({ bike, job: jobsOf(bike.id).find((job) => job.state === "open") ?? null }));
  const open = all.filter((row) => row.job).sort((a, b) => b.job!.opened_at.localeCompare(a.job!.opened_at));
  const heldUp = open.filter((row) => row.job!.missing_parts?.length);
  // A word typed looks through all bikes, whatever the leaf says.
  const from = query.trim() ? all : filter === "open" ? open : filter === "held" ? heldUp : all;
  const [finding, setFinding] = useState<typeof import("./beside") | null>(null);
  const begin = () => void import("./beside").then((it) => {
    if (finding) return;
    it.beginToFind();
    setFinding(it);
  }, () => undefined);
  useEffect(() => () => finding?.endToFind(), [finding]);
  const words = lookedFor(query);
  const more = words.length ? finding?.moreWords.value : undefined;
  const found = words.length ? from.filter((row) => matches(row.bike, words, more?.get(row.bike.id))) : from;

  if (scanning) return <Scan onClose={() => setScanning(false)} />;
  return (
    <Page title="Bikes" aside={today.format(new Date())} foot={
      <>
        <PickOne label="Which bikes" value={query.trim() ? "all" : filter} onPick={(id) => { setFilter((id ?? "open") as Filter); setQuery(""); }} choices={[
          { id: "open", label: `Open ${open.length}` }, { id: "held", label: `Held ${heldUp.length}` }, { id: "all", label: `All ${all.length}` },
        ]} />
        <div class="row">
          <input class="fld big" type="search" placeholder="Any word of it" aria-label="Find a bike by any word" value={query} onFocus={begin}
            onInput={(e) => { setQuery(e.currentTarget.value); setShown(PAGE); }} />
          {canScan && <button type="button" class="big" onClick={() => setScanning(true)}>Scan</button>}
          <a class="b big go" href="#/bikes/new">New bike</a>
        </div>
        <ShopIndex at="bikes" />
      </>
    }>
      <Notices />
      <Riding />
      {found.length ? (
        <ul class="bikes mt">{found.slice(0, shown).map((row) => <BikeRow key={row.bike.id} {...row} />)}</ul>
      ) : <Empty filter={filter} query={query.trim()} all={all.length} />}
      {found.length > shown && <button type="button" class="full mt" onClick={() => setShown(shown + PAGE)}>{found.length - shown} more</button>}
    </Page>
  );
}

function Riding() {
  const job = ride.value && jobs.value.find((j) => j.id === ride.value!.jobId);
  const bike = job && bikes.value.find((b) => b.id === job.bike_id);
  return bike ? <p class="note mt"><b>The test ride of {bike.label} is open.</b> <a href={jobLink(job.id, "road")}>Go on with it</a></p> : null;
}

function Empty({ filter, query, all }: { filter: Filter; query: string; all: number }) {
  if (query) return <p class="note mt3"><b>No bike is found by “{query}”.</b> Try one word of its label, its frame number or a remark, or add it as a new bike.</p>;
  if (!all) return <p class="note mt3"><b>No bikes yet.</b> Add the first one: its drivetrain, brakes and tyres, then the job.</p>;
  if (filter === "held") return <p class="note mt3">Nothing is held up by a missing part.</p>;
  return <p class="note mt3"><b>No open job.</b> Find a bike by any word and start one, or add a new bike.</p>;
}

function BikeRow({ bike, job }: Row) {
  return job ? <OpenRow bike={bike} job={job} /> : <QuietRow bike={bike} />;
}

function QuietRow({ bike }: { bike: Bike }) {
  const last = jobsOf(bike.id)[0];
  return (
    <li class="li">
      <a class="bike" href={`#/bikes/${bike.id}`}>
        <b>{bike.label}</b>
        <span class="row sp s"><span>{drivetrainWords(bike.drivetrain)}</span></span>
        <span class="row sp s">{last ? `${last.kind}, ${date(last.opened_at)}` : "no job yet"}</span>
      </a>
    </li>
  );
}

function OpenRow({ bike, job }: { bike: Bike; job: Job }) {
  const [row, near] = useNear<HTMLLIElement>();
  const work = near && useWork(bike, job);
  const n = work ? unsentOf(job.id) : 0;
  const riding = ride.value?.jobId === job.id;
  return (
    <li class="li" ref={row}>
      <a class="bike" href={riding ? jobLink(job.id, "road") : jobLink(job.id, "bench")}>
        <span class="row sp"><b>{bike.label}</b>{work && <Tally {...goingOut(work).counts} />}</span>
        {work ? <PlanRule steps={work.marks} /> : <svg class="plan" height={30} aria-hidden="true" />}
        <span class="row sp">
          <span class="s">{job.kind}{riding ? ", on its test ride" : work ? `, ${work.words}` : ""}</span>
          {n ? <span class="pencil">{n} not yet confirmed</span> : work && <span class="s">{noneWaits(job.id)}</span>}
        </span>
      </a>
    </li>
  );
}

/** The worst verdict speaks for the job. */
export function Tally({ outside, borderline, inside }: { outside: number; borderline: number; inside: number }) {
  if (outside) return <Verdict word="outside" text={`${outside} outside`} />;
  if (borderline) return <Verdict word="borderline" text={`${borderline} borderline`} />;
  if (inside) return <Verdict word="inside" text={`${inside} inside`} />;
  return <span class="s">{count(0, "reading")}</span>;
}
