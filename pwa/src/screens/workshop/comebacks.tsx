import { clamp, percent } from "../../look/geometry";
import { At } from "../../look/rule";
import { familyWords, query, useAnswer, type ComebackGroup, type Comebacks } from "./answers";
import { Staying } from "./staying";

const pc = (share: number): string => (share * 100).toFixed(1).replace(/\.0$/, "");

/** How many bikes come back, why and how soon. No person is named. */
export function ComebackCharts({ family }: { family: string | null }) {
  const { answer, problem } = useAnswer<Comebacks>(`/workshop/comebacks${query({ family })}`);
  if (!answer) return <section class="c8"><h2>Comebacks</h2>{problem ? <p class="note dashed">{problem}</p> : <p class="s" role="status">Asking the service…</p>}</section>;
  const { comebacks: all } = answer;
  return (
    <>
      <section>
        <h2>Comebacks by cause</h2>
        {all
          ? <p class="s">{all.count} of {all.n} jobs came back: {pc(all.share)} %, between {pc(all.low)} and {pc(all.high)}.</p>
          : <p class="s">{answer.why_not["comebacks"] ?? "No job was handed over yet."}</p>}
        <Shares rows={answer.by_cause.map((c) => ({ ...c, name: c.label }))} empty="No comeback so far." />
        {!family && answer.by_family.length > 1 && (
          <>
            <h2>Comebacks by drivetrain family</h2>
            <p class="xs">Bikes alike in shifting, speeds, rings and cogs.</p>
            <Shares rows={answer.by_family.map((c) => ({ ...c, name: familyWords(c.family) }))} empty="" />
          </>
        )}
        {answer.left_out > 0 && <p class="xs mt">{answer.left_out} comebacks belong to no handed-over job of these and are left out.</p>}
      </section>
      <section>
        <h2>Days to the first comeback</h2>
        <p class="s">Share of jobs not yet back. {family ? "" : told(answer)}</p>
        <Staying groups={shownGroups(answer)} />
      </section>
    </>
  );
}

/** Two groups where both can be drawn, else all jobs together. */
function shownGroups(answer: Comebacks): { name: string; staying: NonNullable<ComebackGroup["staying_out"]> }[] {
  const groups = answer.groups.flatMap((g) => (g.staying_out ? [{ name: g.name, staying: g.staying_out }] : []));
  if (groups.length) return groups;
  return answer.staying_out ? [{ name: "all jobs", staying: answer.staying_out }] : [];
}

function told(answer: Comebacks): string {
  const { comparison, groups } = answer;
  if (!comparison || groups.length < 2) return answer.why_not["comparison"] ?? "";
  const names = groups.map((g) => g.name).join(" and ");
  return `${names[0]!.toUpperCase()}${names.slice(1)} are ${comparison.p < 0.05 ? "told apart" : "not told apart"}: p = ${comparison.p.toFixed(2)}.`;
}

interface Share { name: string; count: number; share: number; low: number; high: number }

/** Shares with their intervals on one rule of percent. */
function Shares({ rows, empty }: { rows: Share[]; empty: string }) {
  if (!rows.length) return <p class="s">{empty}</p>;
  const most = Math.max(...rows.map((r) => r.high));
  const top = most > 0.5 ? 1 : most > 0.2 ? 0.5 : most > 0.1 ? 0.2 : 0.1;
  const at = (share: number) => clamp((100 * share) / top);
  return (
    <table class="mt">
      <thead>
        <tr>
          <th scope="col">came back</th><th scope="col" class="r nowrap">jobs</th>
          <th scope="col"><span class="row sp xs"><span>0</span><span>{pc(top / 2)} %</span><span>{pc(top)} %</span></span></th>
        </tr>
      </thead>
      <tbody>
        {rows.map((r) => (
          <tr key={r.name}>
            <th scope="row" class="ink">{r.name}</th>
            <td class="r">{r.count}</td>
            <td class="half">
              <svg class="rule" height="22" role="img" aria-label={`${pc(r.share)} %, between ${pc(r.low)} and ${pc(r.high)}`}>
                <line class="edge" x1="0" x2="100%" y1="16" y2="16" />
                {Array.from({ length: 11 }, (_, i) => <At p={i * 10}><path class="grad" d={`M0 16v${i % 5 ? 4 : 6}`} /></At>)}
                <line class="wsk" x1={percent(at(r.low))} x2={percent(at(r.high))} y1="9" y2="9" />
                <At p={at(r.share)}><path class="tick" d="M0 0V16" /></At>
              </svg>
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}
