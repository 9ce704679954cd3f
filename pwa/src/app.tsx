import { bikeById, catalogue, jobById, loaded, session } from "./book";
import "./look/tokens.css";
import "./look/page.css";
import "./look/pen.css";
import "./look/line.css";
import "./look/touch.css";
import { Bench } from "./screens/bench/bench";
import { Bikes } from "./screens/bikes";
import { OpenJobs } from "./screens/job/open_jobs";
import { late } from "./screens/late";
import { NotHere, Waiting } from "./screens/missing";
import { Pair } from "./screens/pair";
import { Road } from "./screens/road/road";
import { follow, here, type Route } from "./screens/route";
import { applyTheme } from "./screens/theme";
import type { Bike, Job } from "./nouns";

follow();
applyTheme();

const BikeForm = late<{ id?: string }>("Facts of a bike", () => import("./screens/forms").then((m) => m.BikeForm));
const JobForm = late<{ bikeId: string }>("New job", () => import("./screens/forms").then((m) => m.JobForm));
const Handover = late<{ bike: Bike; job: Job }>("Handover", () => import("./screens/forms").then((m) => m.Handover));
const Settings = late<{ rest: string[] }>("Settings", () => import("./screens/forms").then((m) => m.Settings));
const BikePage = late<{ id: string }>("Bike", () => import("./screens/bike/bike").then((m) => m.BikePage));
const Plan = late<{ bike: Bike; job: Job }>("Plan", () => import("./screens/job/plan").then((m) => m.Plan));
const Trend = late<{ bike: Bike; job: Job; rest: string[] }>("Trend", () => import("./screens/trend/trend").then((m) => m.Trend));
const Review = late<{ bike: Bike; job: Job }>("Review", () => import("./screens/review/review").then((m) => m.Review));
const Workshop = late<{ rest: string[] }>("Workshop", () => import("./screens/workshop/workshop").then((m) => m.Workshop));
const WorkOut = late<{ job?: Job; bike?: Bike; rest: string[] }>("Work it out", () => import("./screens/work_out/work_out").then((m) => m.WorkOut));
const Look = late("Look", () => import("./screens/look_sheet").then((m) => m.LookSheet));

/** One screen for each address; a phone that is not paired is asked to pair first. */
export function App() {
  const route = here.value;
  if (route.name === "look") return <Look />;
  if (!loaded.value) return <main class="fill" aria-busy="true" />;
  if (route.name === "pair" || !session.value) return <Pair key={route.rest[0]} code={route.name === "pair" ? route.rest[0] : undefined} />;
  if (route.name === "settings") return <Settings rest={route.rest} />;
  if (!catalogue.value) return <Waiting />;
  return screen(route);
}

function screen(route: Route) {
  switch (route.name) {
    case "bikes": return <Bikes />;
    case "new_bike": return <BikeForm />;
    case "edit_bike": return <BikeForm key={route.id} id={route.id} />;
    case "bike": return <BikePage key={route.id} id={route.id} />;
    case "new_job": return <JobForm key={route.id} bikeId={route.id} />;
    case "work_out": return <WorkOut key={route.rest[0]} rest={route.rest} />;
    case "workshop": return <Workshop rest={route.rest} />;
    case "job": return <JobScreen route={route} />;
    default: return <NotHere what="page" />;
  }
}

function JobScreen({ route }: { route: Route }) {
  const job = jobById(route.id);
  const bike = job && bikeById(job.bike_id);
  if (!job || !bike) return <NotHere what="job" />;
  return <div class="desk"><OpenJobs current={job.id} />{jobPage(route, bike, job)}</div>;
}

function jobPage(route: Route, bike: Bike, job: Job) {
  switch (route.page) {
    case "plan": return <Plan key={job.id} bike={bike} job={job} />;
    case "road": return <Road key={job.id} bike={bike} job={job} />;
    case "trend": return <Trend key={job.id} bike={bike} job={job} rest={route.rest} />;
    case "handover": return <Handover key={job.id} bike={bike} job={job} />;
    case "work-out": return <WorkOut key={`${job.id}${route.rest[0]}`} bike={bike} job={job} rest={route.rest} />;
    case "review": return <Review key={job.id} bike={bike} job={job} />;
    default: return <Bench key={job.id} bike={bike} job={job} rest={route.rest} />;
  }
}
