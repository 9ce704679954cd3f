import { candidatesByCount, turnsOf } from "../../domain/noise";
import { Turns } from "../../look/turns";
import type { Gear } from "../../nouns";
import type { Work } from "../work";
import { marksOf, reach } from "./marks";
import { attempt, Reason } from "./sheet";

const Z = 1.96;

/** What a count in ten turns says: its place among the parts, and which of them it fits. */
export function CountSays({ work, gear, count, coasting }: { work: Work; gear: Gear; count: number; coasting: boolean }) {
  const links = work.values.find((v) => v.quantity === "chain_links")?.value ?? null;
  const known = { ...gear, chain_links: links, coasting: coasting || null };
  const { answer: found, reason } = attempt(() => candidatesByCount(count, known));
  if (!found) return <Reason words={reason} />;
  const marks = marksOf(turnsOf(known));
  return (
    <>
      <Turns n={count} half={10 * Z * found.u_ratio_to_crank!} marks={marks} top={reach(count, marks)} label={`${count} in ten turns. ${found.advice}`} />
      <p class="s" role="status">{found.advice}</p>
    </>
  );
}
