import { useState } from "preact/hooks";
import { bikeById, jobsOf } from "../../book";
import { date } from "../../look/number";
import { useLater } from "../later";
import { NotHere } from "../missing";
import { Page } from "../page";
import { jobLink } from "../route";
import { ShopIndex } from "../shop_index";
import { BRAKES, drivetrainWords, REAR_MOUNT, TYRES } from "./facts";

const STATE = { open: "open", handed_over: "handed over", closed: "closed" } as const;

/** One bike: its facts and its visits. */
export function BikePage({ id }: { id: string }) {
  const bike = bikeById(id);
  const [code, setCode] = useState(false);
  const later = useLater(() => import("../beside"));
  const whose = useLater(() => import("../customer_name"));
  if (!bike) return <NotHere what="bike" />;
  const visits = jobsOf(id);
  const open = visits.find((job) => job.state === "open");
  const d = bike.drivetrain;
  const word = (list: readonly { id: string; label: string }[], key: string) => list.find((x) => x.id === key)?.label ?? key;
  return (
    <Page title={bike.label} aside={bike.frame_number} foot={
      <>
        <div class="row">
          <a class="b big" href={`#/bikes/${id}/edit`}>Change facts</a>
          {open
            ? <a class="b big go w" href={jobLink(open.id, "bench")}>Go on with the {open.kind}</a>
            : <a class="b big go w" href={`#/bikes/${id}/job`}>New job</a>}
        </div>
        <ShopIndex />
      </>
    }>
      <dl class="facts">
        <dt>Drivetrain</dt><dd>{drivetrainWords(d)}</dd>
        <dt>Cogs</dt><dd>{[...d.cogs].sort((a, b) => a - b).join(" ")}</dd>
        <dt>Rear</dt><dd>derailleur {word(REAR_MOUNT, d.rear_mount)}</dd>
        <dt>Front</dt><dd>{d.front_derailleur ? "with front derailleur" : "no front derailleur"}</dd>
        <dt>Brakes</dt><dd>{word(BRAKES, bike.brakes)}</dd>
        <dt>Tyres</dt><dd>{word(TYRES, bike.tyres)}</dd>
        {d.suspension && <><dt>Suspension</dt><dd>yes</dd></>}
        {bike.serials?.length ? <><dt>Serials</dt><dd>{bike.serials.join(", ")}</dd></> : null}
      </dl>
      {bike.customer_id && whose && <whose.CustomerName id={bike.customer_id} before="Bike of " />}
      <button type="button" class="full mt3" aria-expanded={code} onClick={() => setCode(!code)}>QR code of this bike</button>
      {code && later && <later.BikeQr bike={bike} />}
      <h2>Visits</h2>
      {visits.length ? (
        <ul>
          {visits.map((job) => (
            <li class="li"><a class="bike row sp" href={jobLink(job.id, job.state === "open" ? "bench" : "trend")}>
              <span>{job.kind}, {date(job.opened_at)}</span><span class="s">{STATE[job.state]}</span>
            </a></li>
          ))}
        </ul>
      ) : <p class="s">No visit yet. Start the first job.</p>}
    </Page>
  );
}
