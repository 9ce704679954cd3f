import type { Catalogue } from "../../catalogue";
import { num } from "../../look/number";
import { OffsetRule } from "../../look/offset_rule";
import { unitLabel } from "../entry_words";
import { familyWords, useAnswer, type StandOffset } from "./answers";

/** What the road corrected, from the stand's zero: where the interval clears zero, the stand starts elsewhere. */
export function Offsets({ cat, family }: { cat: Catalogue; family: string | null }) {
  const { answer, problem } = useAnswer<{ offsets: StandOffset[] }>("/workshop/stand-offsets");
  const shown = answer?.offsets.filter((o) => (family ? o.family === family : o.family === null || alone(o, answer.offsets)));
  return (
    <section class="c4">
      <h2>What the stand gets wrong</h2>
      {problem && <p class="note dashed">{problem}</p>}
      {!answer && !problem && <p class="s" role="status">Asking the service…</p>}
      {shown && !shown.length && <p class="s">No ride was judged yet{family ? " in this drivetrain family" : ""}. “Nothing needed” counts too: log it.</p>}
      <ul>
        {shown?.map((o) => {
          const unit = unitLabel(cat, o.unit);
          return (
            <li class="li" key={`${o.adjuster}${o.family}`}>
              <div class="row sp"><span>{o.label}, {unit}{o.family && !family ? <span class="xs"> {familyWords(o.family)}</span> : null}</span><b>{o.value === null ? "–" : num(o.value, 2, true)}</b></div>
              <OffsetRule value={o.value} low={o.low} high={o.high} span={o.unit === "step" ? 3 : 0.75} minor={o.unit === "step" ? 0.5 : 0.125} ends={[o.negative, o.positive]} label={`${o.label}: ${o.advice}`} />
              <p class="s">{o.certain ? <b>{o.advice}</b> : o.advice}{o.value !== null && ` ${o.n} rides${o.confidence === null ? "" : `, ${Math.floor(o.confidence * 100)} %`}.`}</p>
            </li>
          );
        })}
      </ul>
    </section>
  );
}

/** An adjuster that only one family has is shown by that family. */
const alone = (o: StandOffset, all: StandOffset[]): boolean => !all.some((x) => x.adjuster === o.adjuster && x.family === null);
