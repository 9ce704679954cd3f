import { applies } from "../../catalogue";
import type { Work } from "../work";

/** Where work can hurt, it says so before the work. */
export function Cautions({ work, ids = [] }: { work: Pick<Work, "cat" | "facts">; ids?: string[] }) {
  const shown = work.cat.cautions.filter((c) => ids.includes(c.id) && applies(c.applies ?? {}, work.facts));
  return <>{shown.map((c) => <p key={c.id} class="note stop mt">{c.text}</p>)}</>;
}

/** Cautions of a place (road, bench, handover). */
export function CautionsAt({ work, place, not = [] }: { work: Pick<Work, "cat" | "facts">; place: string; not?: string[] }) {
  const ids = work.cat.cautions.filter((c) => [c.where].flat().includes(place) && !not.includes(c.id)).map((c) => c.id);
  return <Cautions work={work} ids={ids} />;
}
