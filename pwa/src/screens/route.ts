/** The address after the hash is where the phone is: the back button and a bookmark work as anywhere. */
import { signal } from "@preact/signals";

export type JobPage = "bench" | "plan" | "road" | "trend" | "review" | "handover" | "work-out";

/** The place in Settings where what waits for a person stands. */
export const ASIDE = "aside";

export interface Route {
  name: "bikes" | "pair" | "new_bike" | "edit_bike" | "bike" | "new_job" | "job" | "workshop" | "work_out" | "look" | "settings" | "unknown";
  id: string;
  page: JobPage;
  /** What follows: a step and an item on Bench, a quantity on Trend, a code on Pair, a page of Workshop. */
  rest: string[];
}

const PAGES: readonly string[] = ["bench", "plan", "road", "trend", "review", "handover", "work-out"];

export function parse(hash: string): Route {
  const [first = "", second = "", third = "", ...rest] = hash.replace(/^#?\/?/, "").split("/").map(decode);
  const route = (name: Route["name"], id = "", more: string[] = []): Route => ({ name, id, page: "bench", rest: more });
  if (!first) return route("bikes");
  if (first === "pair") return route("pair", "", second ? [second] : []);
  if (first === "bikes" && second === "new") return route("new_bike");
  if (first === "bikes" && second && third === "job") return route("new_job", second);
  if (first === "bikes" && second && third === "edit") return route("edit_bike", second);
  if (first === "bikes" && second) return route("bike", second);
  if (first === "jobs" && second) {
    const page = (PAGES.includes(third) ? third : "bench") as JobPage;
    return { ...route("job", second, rest), page };
  }
  if (first === "work-out") return route("work_out", "", second ? [second] : []);
  if (first === "workshop") return route("workshop", "", [second, third, ...rest].filter(Boolean));
  if ((first === "look" || first === "settings") && !second) return route(first);
  if (first === "settings" && second === ASIDE) return route("settings", "", [ASIDE]);
  return route("unknown");
}

function decode(part: string): string {
  try {
    return decodeURIComponent(part);
  } catch {
    return part;
  }
}

export const here = signal<Route>(parse(typeof location === "undefined" ? "" : location.hash));

export function follow(): void {
  addEventListener("hashchange", () => {
    here.value = parse(location.hash);
  });
}

export function go(to: string): void {
  location.hash = to;
}

/** Goes on without a step in the history, so that "back" leaves a row of lines at once. */
export function swap(to: string): void {
  location.replace(to);
}

export const jobLink = (id: string, page: JobPage, ...rest: string[]): string =>
  `#/jobs/${id}/${page}${rest.map((r) => `/${encodeURIComponent(r)}`).join("")}`;
