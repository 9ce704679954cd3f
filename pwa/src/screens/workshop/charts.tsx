import { useState } from "preact/hooks";
import { bikes, catalogue } from "../../book";
import { num } from "../../look/number";
import { PickOne } from "../../look/touch";
import { unitLabel } from "../entry_words";
import { Waiting } from "../missing";
import { Page } from "../page";
import { ShopIndex } from "../shop_index";
import { ROOMY, useWide } from "../wide";
import { familyWords, query, useAnswer, type WorkshopTrend } from "./answers";
import { ComebackCharts } from "./comebacks";
import { ChartWords, ControlChart } from "./control_chart";
import { Offsets } from "./offsets";
import { PageChoice, Tabs } from "./pages";

const LEAVES = 2;
const FIRST = "guide_pulley_gap";

/** The shop over all its jobs: what drifts, what the stand gets wrong, what comes back. */
export function Charts() {
  const cat = catalogue.value;
  const families = familiesHere();
  const [family, setFamily] = useState<string | null>(families[0] ?? null);
  const [quantity, setQuantity] = useState(FIRST);
  const wide = useWide(ROOMY);
  if (!cat) return <Waiting />;
  const q = cat.quantities.find((x) => x.id === quantity) ?? cat.quantities[0]!;
  const pick = (id: string | null) => setFamily(id === "all" ? null : id);
  const choices = [...families.slice(0, wide ? LEAVES : undefined).map((f) => ({ id: f, label: familyWords(f) })), { id: "all", label: "all bikes" }];
  // On a phone what is touched lies below, within the thumb's reach.
  const controls = (
    <div class="row wrapping mt">
      {wide
        ? <PickOne label="Drivetrain family" value={family ?? "all"} onPick={pick} choices={choices} />
        : <Select id="workshop-family" label="Drivetrain family" value={family ?? "all"} onPick={pick} choices={choices} />}
      <Select id="workshop-quantity" label="Quantity" value={q.id} onPick={setQuantity} choices={cat.quantities} />
      {wide && <p class="xs">A drivetrain family: bikes alike in shifting, speeds, rings and cogs.</p>}
    </div>
  );
  return (
    <Page title="Workshop" cls="fill wide" aside={`${bikes.value.length} bikes`} foot={<>{!wide && <>{controls}<PageChoice at="" /></>}<ShopIndex at="workshop" /></>}>
      {wide && <><Tabs at="" />{controls}</>}
      <div class="ws">
        <Chart family={family} quantity={q.id} />
        <Offsets cat={cat} family={family} />
        <ComebackCharts family={family} />
      </div>
    </Page>
  );
}

function Select({ id, label, value, onPick, choices }: { id: string; label: string; value: string; onPick: (id: string) => void; choices: { id: string; label: string }[] }) {
  return (
    <>
      <label class="sr" for={id}>{label}</label>
      <select id={id} class="fld w" value={value} onChange={(e) => onPick(e.currentTarget.value)}>
        {choices.map((x) => <option key={x.id} value={x.id}>{x.label}</option>)}
      </select>
    </>
  );
}

function Chart({ family, quantity }: { family: string | null; quantity: string }) {
  const cat = catalogue.value!;
  const { answer, problem } = useAnswer<WorkshopTrend>(`/workshop/trend${query({ quantity, family })}`);
  const q = cat.quantities.find((x) => x.id === (answer?.quantity ?? quantity))!;
  const unit = unitLabel(cat, q.unit);
  const gear = answer?.gear ? `, cog ${answer.gear.cog}` : "";
  return (
    <section class="c8">
      <h2>{q.label}{gear}, first bench value of each job</h2>
      {problem && <p class="note dashed">{problem}</p>}
      {!answer && !problem && <p class="s" role="status">Asking the service…</p>}
      {answer && (answer.values.length
        ? <><ControlChart trend={answer} quantity={q} unit={unit} /><ChartWords trend={answer} n={(v) => `${num(v, Math.max(q.digits, 2), q.signed)} ${unit}`} /></>
        : <p class="note mt">{answer.why_not["individuals"] ?? "Nothing is read on the bench yet."} Choose another quantity or drivetrain family.</p>)}
    </section>
  );
}

/** Families of the bikes on this phone, the commonest first. */
function familiesHere(): string[] {
  const n = new Map<string, number>();
  for (const { family } of bikes.value) if (family) n.set(family, (n.get(family) ?? 0) + 1);
  return [...n].sort((a, b) => b[1] - a[1]).map(([family]) => family);
}
