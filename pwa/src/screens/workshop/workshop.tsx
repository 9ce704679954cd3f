import "./workshop.css";
import { late } from "../late";
import { NotHere } from "../missing";
import { Charts } from "./charts";

interface PageProps { rest: string[] }

const People = late<PageProps>("People and phones", () => import("../keeps/people").then((m) => m.People));
const Gauges = late<PageProps>("Gauges", () => import("../keeps/gauges").then((m) => m.Gauges));
const Bands = late<PageProps>("Bands", () => import("../keeps/bands").then((m) => m.Bands));
const Study = late<PageProps>("Gauge study", () => import("../keeps/study").then((m) => m.Study));
const Causes = late<PageProps>("Causes", () => import("../keeps/causes").then((m) => m.Causes));
const Steps = late<PageProps>("Steps", () => import("../keeps/steps").then((m) => m.Steps));
const Customers = late<PageProps>("Customers", () => import("../keeps/customers").then((m) => m.Customers));

/** What all jobs say together, and the pages of what the shop keeps; each of these is loaded when it is opened. */
export function Workshop({ rest: [page = "", ...rest] }: PageProps) {
  switch (page) {
    case "": return <Charts />;
    case "people": return <People rest={rest} />;
    case "gauges": return <Gauges rest={rest} />;
    case "bands": return <Bands rest={rest} />;
    case "gauge-study": return <Study rest={rest} />;
    case "causes": return <Causes rest={rest} />;
    case "steps": return <Steps rest={rest} />;
    case "customers": return <Customers rest={rest} />;
    default: return <NotHere what="page" />;
  }
}
