import type { ComponentProps } from "preact";
import { useState } from "preact/hooks";
import { v7 } from "uuid";
import { api, catalogue } from "../../book";
import type { Catalogue } from "../../catalogue";
import { count } from "../../look/number";
import { Leaf, PickOne } from "../../look/touch";
import { LIMITS } from "../../limits";
import { unitLabel } from "../entry_words";
import { Waiting } from "../missing";
import { Choose, Field } from "../field";
import { accuracyWords, dueOf, dueWords, inOrder, kindOf, KINDS, rangeWords, unitsOf, type Gauge, type GaugeDraft } from "./gauge_words";
import { useKept, type Kept } from "./kept";
import { goOn, Room, useOpen } from "./room";
import { typedNumber, wrongOnes } from "../typed";

const read = async (): Promise<Gauge[]> => (await api.get<{ gauges: Gauge[] }>("/gauges")).gauges;
const LIST = "#/workshop/gauges";

/** Every measuring tool of the shop, and whether its calibration holds. */
export function Gauges({ rest: [id] }: { rest: string[] }) {
  const cat = catalogue.value;
  const kept = useKept(read, "Gauges", id);
  const all = inOrder(kept.answer ?? []);
  const open = useOpen(id, all[0]?.id);
  if (!cat) return <Waiting />;
  const chosen = all.find((g) => g.id === open);
  const shared = {
    at: "gauges", kept, list: <List cat={cat} all={all} at={open} />, aside: kept.answer ? count(all.length, "gauge") : "",
    acts: <a class="b big full" href={`${LIST}/new`}>New gauge</a>,
  } as const;
  return chosen || open === "new" ? <Change key={open} cat={cat} kept={kept} of={chosen ?? null} room={shared} /> : <Room {...shared} />;
}

function List({ cat, all, at }: { cat: Catalogue; all: Gauge[]; at?: string | undefined }) {
  const now = new Date();
  const due = all.filter((g) => g.overdue && !g.retired).length;
  if (!all.length) return <p class="note mt">No gauge yet. Without one a reading has the uncertainty that its quantity starts with.</p>;
  return (
    <>
      {due > 0 && <p class="note stop mt"><b>{due === 1 ? "One gauge is due" : `${due} gauges are due`} for a check.</b> Readings made with {due === 1 ? "it" : "them"} count, and are marked so.</p>}
      <ul class="mt">
        {all.map((g) => (
          <li key={g.id}>
            <a class="row-link" href={`${LIST}/${g.id}`} aria-current={g.id === at ? "true" : undefined}>
              <span class="row sp"><b>{g.name}</b>{g.retired ? <span class="s">out of use</span> : <DueMark gauge={g} now={now} />}</span>
              <span class="s">{rangeWords(g, unitLabel(cat, g.unit))}; {accuracyWords(cat, g)}; {dueWords(g, now)}</span>
            </a>
          </li>
        ))}
      </ul>
    </>
  );
}

/** Fill and outline say it as with verdicts; the word says it first. */
function DueMark({ gauge, now }: { gauge: Gauge; now: Date }) {
  const due = dueOf(gauge, now);
  if (due === "overdue") return <span class="v out due">due</span>;
  return due === "soon" ? <span class="v bo due">due soon</span> : null;
}

const NUMBERS = { lowest: "From", highest: "To", resolution: "Smallest step", expanded_uncertainty: "Expanded uncertainty", coverage_factor: "Coverage factor", tolerance_percent: "Tolerance" } as const;
type NumberName = keyof typeof NUMBERS;
const NAMES = Object.keys(NUMBERS) as NumberName[];
/** Of figures that are not in the gauge's own unit. */
const UNITS: Partial<Record<NumberName, string>> = { coverage_factor: "", tolerance_percent: "%" };
const NAME = { label: "Name", limit: LIMITS.Gauge.name };

interface ChangeProps { cat: Catalogue; kept: Kept<Gauge[]>; of: Gauge | null; room: ComponentProps<typeof Room> }

function Change({ cat, kept, of, room }: ChangeProps) {
  const [id] = useState(() => of?.id ?? v7());
  const [name, setName] = useState(of?.name ?? "");
  const [unit, setUnit] = useState(of?.unit ?? "mm");
  const [retired, setRetired] = useState(of?.retired ?? false);
  const [days, setDays] = useState({ calibrated_at: of?.calibrated_at ?? "", due: of?.due ?? "" });
  const [texts, setTexts] = useState<Record<NumberName, string>>(() => Object.fromEntries(
    NAMES.map((n) => [n, of?.[n] == null ? "" : String(of[n])]),
  ) as Record<NumberName, string>);
  const kind = kindOf(cat, unit);
  const torque = kind === "torque";
  const numbers = Object.fromEntries(Object.entries(texts).map(([n, text]) => [n, typedNumber(text)])) as Record<NumberName, number | null>;
  const { coverage_factor, ...values } = numbers;
  const draft: GaugeDraft = {
    id, name: name.trim(), unit, ...values, coverage_factor: coverage_factor ?? 2, tolerance_percent: torque ? values.tolerance_percent : null,
    calibrated_at: days.calibrated_at || null, due: days.due || null, retired,
  };
  const u = unitLabel(cat, unit);
  const asked = Object.fromEntries(NAMES.filter((n) => torque || n !== "tolerance_percent").map((n) => [n, { label: NUMBERS[n], limit: LIMITS.Gauge[n], unit: UNITS[n] ?? u }]));
  const wrong = wrongOnes({ name: NAME, ...asked }, { name, ...texts });
  const save = () => {
    const faults = { ...(name.trim() ? {} : { name: "Name: give it one that stands on the tool." }), ...wrong, ...turnedRound(numbers, days) };
    if (Object.keys(faults).length) return kept.refuse(faults);
    kept.write(async () => (await api.put<{ gauges: Gauge[] }>("/gauges", { gauges: [draft] })).gauges, () => goOn(LIST, id));
  };
  const number = (n: NumberName, hint?: string) => (
    <Field key={n} name={n} label={NUMBERS[n]} hint={hint} kind="number" value={texts[n]} faults={kept.faults} put={(text) => setTexts((t) => ({ ...t, [n]: text }))} />
  );
  const whole = !Object.keys(wrong).length;
  return (
    <Room {...room} open={{
      name: of ? of.name : "New gauge",
      acts: <button type="button" class="big go w" aria-disabled={kept.busy} onClick={save}>{of ? "Keep" : "Add the gauge"}</button>,
      body: (
        <>
          <Field name="name" label="Name" hint="as it stands on the tool" value={name} put={setName} faults={kept.faults} />
          <fieldset>
            <legend>What it measures</legend>
            <PickOne label="What it measures" choices={[...KINDS]} value={kind} onPick={(k) => setUnit(KINDS.find((x) => x.id === k)?.unit ?? unit)} />
          </fieldset>
          <Choose name="unit" label="Unit" value={unit} put={setUnit} choices={unitsOf(cat, kind)} />
          <div class="pair">{number("lowest", u)}{number("highest", u)}{number("resolution", u)}</div>
          {torque && number("tolerance_percent", "% of what it shows, from its certificate or its class")}
          <div class="pair">{number("expanded_uncertainty", `U, ${u}, from its certificate`)}{number("coverage_factor", "k; 2 where it says nothing")}</div>
          {whole && <p class="s mt" role="status">One reading with it: {accuracyWords(cat, draft)}.{torque && <Trusted draft={draft} unit={u} />}</p>}
          <div class="pair">
            <Field name="calibrated_at" label="Checked on" kind="date" value={days.calibrated_at} faults={kept.faults} put={(calibrated_at) => setDays((d) => ({ ...d, calibrated_at }))} />
            <Field name="due" label="Due again on" kind="date" value={days.due} faults={kept.faults} put={(due) => setDays((d) => ({ ...d, due }))} />
          </div>
          {of?.overdue && <p class="note stop mt"><b>It was due on this day.</b> Readings made with it count, and are marked so until it is checked.</p>}
          <p class="mt3"><Leaf on={!retired} onPick={() => setRetired(!retired)}>in use</Leaf></p>
          <p class="s mt">From now on: what is written down already keeps the uncertainty it was judged with.</p>
        </>
      ),
    }} />
  );
}

function Trusted({ draft, unit }: { draft: GaugeDraft; unit: string }) {
  const [low, high] = [draft.lowest ?? null, draft.highest ?? null];
  if (high === null) return null;
  return <> It judges torques {rangeWords({ ...draft, lowest: low ?? high * 0.2, highest: high }, unit)}{low === null ? ", from 20 % of its range on" : ""}; outside it says nothing.</>;
}

function turnedRound(n: Record<NumberName, number | null>, days: { calibrated_at: string; due: string }): Record<string, string> {
  const wrong: Record<string, string> = {};
  if (n.lowest !== null && n.highest !== null && n.lowest > n.highest) wrong["highest"] = "To: the range ends before it starts.";
  if (days.calibrated_at && days.due && days.due < days.calibrated_at) wrong["due"] = "Due again on: it comes after the day it was checked.";
  return wrong;
}
