import { bikeById, jobs, unsentOf } from "../../book";
import { date } from "../../look/number";
import { jobLink } from "../route";
import { DESKTOP, useWide } from "../wide";

/** The open jobs beside the one on the bench; only a desktop has the room to show them. */
export function OpenJobs({ current }: { current: string }) {
  const wide = useWide(DESKTOP);
  if (!wide) return null;
  const open = jobs.value.filter((job) => job.state === "open");
  return (
    <nav class="open" aria-label="Open jobs">
      <p class="h1"><a class="quiet" href="#/">Bikes</a></p>
      <ul>
        {open.map((job) => (
          <li class="li" key={job.id}>
            <a class="bare" href={jobLink(job.id, "bench")} aria-current={job.id === current ? "true" : undefined}>
              <span>{bikeById(job.bike_id)?.label}</span>
              <span class="xs">{job.kind}, {date(job.opened_at)}{unsentOf(job.id) ? ", not all confirmed" : ""}</span>
            </a>
          </li>
        ))}
      </ul>
    </nav>
  );
}
