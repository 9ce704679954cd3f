import type { ComponentProps } from "preact";
import { useState } from "preact/hooks";
import { api, catalogue, session } from "../../book";
import type { Catalogue } from "../../catalogue";
import type { components } from "../../contract";
import { LIMITS } from "../../limits";
import { list as inWords } from "../../look/number";
import { Leaf, PickSome } from "../../look/touch";
import { labelOf } from "../entry_words";
import { Waiting } from "../missing";
import { putTable, useDraft, type Draft, type Table } from "./draft";
import { Field } from "../field";
import { useKept, type Kept } from "./kept";
import { goOn, Room, useOpen } from "./room";
import { TableActs, WhoseTable } from "./table_acts";
import { wrongOnes } from "../typed";

type Answer = components["schemas"]["Steps"];
/** The service fills in what was not given. */
type Step = Required<components["schemas"]["PlanStep"]>;

const LIST = "#/workshop/steps";
const KINDS = [{ id: "build", label: "build" }, { id: "service", label: "service" }, { id: "comeback", label: "comeback" }] as const;
const asTable = ({ steps, left_out, ...rest }: Answer): Table<Step> => ({ ...rest, rows: steps as Step[], left_out: left_out as Step[] });
const read = async (): Promise<Table<Step>> => asTable(await api.get<Answer>("/workshop/plan"));
const put = async (steps: Step[] | null): Promise<Table<Step>> => asTable(await api.put<Answer>("/workshop/plan", { steps }));

/** The steps of a job: which are worked, in which order, and in which words. */
export function Steps({ rest: [id] }: { rest: string[] }) {
  const cat = catalogue.value;
  const kept = useKept(read, "Steps", id);
  const draft = useDraft<Step>(kept.answer);
  const open = useOpen(id, draft.rows[0]?.id);
  if (!cat) return <Waiting />;
  const chosen = draft.rows.find((s) => s.id === open);
  const room = {
    at: "steps", kept, list: kept.answer && <List cat={cat} table={kept.answer} draft={draft} at={open} />, aside: kept.answer ? `${draft.rows.length} steps` : "",
    acts: <TableActs table={kept.answer} draft={draft} busy={kept.busy} save={(rows) => putTable(kept, put, rows)} what="steps" />,
  } as const;
  return chosen ? <Change key={`${open}${kept.answer?.in_force_from}`} cat={cat} kept={kept} draft={draft} of={chosen} room={room} /> : <Room {...room} />;
}

/** Steps with the checks that a ride begins with stay: nothing else asks for them. */
const guards = (cat: Catalogue, s: Step): boolean => s.checks.some((id) => cat.checks.find((c) => c.id === id)?.stop_ride);
const needs = (s: Step, id: string): boolean => s.hard.includes(id) || s.soft.includes(id);

/** Why a step cannot go past its neighbour; null: it can. */
export function hindrance(rows: readonly Step[], at: number, by: 1 | -1): string | null {
  const [one, other] = [rows[at]!, rows[at + by]];
  if (!other) return by < 0 ? "It is the first." : "It is the last.";
  const [first, second] = by < 0 ? [other, one] : [one, other];
  return needs(second, first.id) ? `${second.label} comes after ${first.label}.` : null;
}

function List({ cat, table, draft, at }: { cat: Catalogue; table: Table<Step>; draft: Draft<Step>; at: string | undefined }) {
  const owner = session.value?.role === "owner";
  const [said, say] = useState<string | null>(null);
  const move = (i: number, by: 1 | -1) => {
    const stop = hindrance(draft.rows, i, by);
    say(stop);
    if (!stop) draft.move(draft.rows[i]!.id, by);
  };
  return (
    <>
      <WhoseTable table={table} what="steps" />
      <p role="status" class={said ? "note mt" : "sr"}>{said}</p>
      <ol>
        {draft.rows.map((s, i) => (
          <li key={s.id} class="kept-row" aria-current={s.id === at ? "true" : undefined}>
            <a class="row-link" href={`${LIST}/${s.id}`}><b>{s.label}</b> <span class="s">{s.kinds.length < KINDS.length ? `${inWords(s.kinds)} only` : ""}</span></a>
            {owner && (
              <span class="row">
                <button type="button" class="flat" aria-label={`${s.label}: earlier`} aria-disabled={!!hindrance(draft.rows, i, -1)} onClick={() => move(i, -1)}>earlier</button>
                <button type="button" class="flat" aria-label={`${s.label}: later`} aria-disabled={!!hindrance(draft.rows, i, 1)} onClick={() => move(i, 1)}>later</button>
                {guards(cat, s) ? <span class="xs">stays: checks before every ride</span> : <Leaf on onPick={() => draft.leaveOut(s.id)}><span class="sr">{s.label}: </span>in use</Leaf>}
              </span>
            )}
          </li>
        ))}
      </ol>
      {draft.out.length > 0 && <h2>Left out</h2>}
      <ul>
        {draft.out.map((s) => (
          <li key={s.id} class="row kept-row"><span class="w">{s.label} <span class="s">{waiting(draft.rows, s)}</span></span>{owner && <Leaf on={false} onPick={() => draft.putBack(s.id)}><span class="sr">{s.label}: </span>in use</Leaf>}</li>
        ))}
      </ul>
    </>
  );
}

function waiting(rows: readonly Step[], left: Step): string {
  const after = rows.filter((s) => needs(s, left.id)).map((s) => s.label);
  return after.length ? `${inWords(after)} no longer wait${after.length > 1 ? "" : "s"} for it` : "";
}

const ASKED = { label: { label: "Name", limit: LIMITS.PlanStep.label }, words: { label: "Words", limit: LIMITS.PlanStep.words } };

interface ChangeProps { cat: Catalogue; kept: Kept<Table<Step>>; draft: Draft<Step>; of: Step; room: ComponentProps<typeof Room> }

function Change({ cat, kept, draft, of, room }: ChangeProps) {
  const [label, setLabel] = useState(of.label);
  const [words, setWords] = useState(of.words ?? "");
  const [kinds, setKinds] = useState<string[]>(of.kinds);
  const owner = session.value?.role === "owner";
  const named = (ids: string[], all: readonly { id: string; label: string }[]) => ids.map((id) => labelOf(all, id));
  const asks = [...named(of.quantities, cat.quantities), ...named(of.fasteners, cat.fasteners), ...named(of.checks, cat.checks)];
  const steps = [...draft.rows, ...draft.out];
  const keep = () => {
    const wrong = wrongOnes(ASKED, { label, words });
    if (!label.trim()) wrong["label"] = "Name: what does the shop call this step?";
    if (!kinds.length) wrong["kinds"] = "Jobs: it belongs to one kind at least; to leave it out, take it out of use.";
    if (Object.keys(wrong).length) return kept.refuse(wrong);
    draft.set({ ...of, label: label.trim(), words: words.trim(), kinds: KINDS.map((k) => k.id).filter((k) => kinds.includes(k)) });
    goOn(LIST, of.id);
  };
  return (
    <Room {...room} open={{
      name: of.label,
      acts: owner && <button type="button" class="big go w" onClick={keep}>Keep for now</button>,
      body: (
        <>
          <Field name="label" label="Name" value={label} read={!owner} put={setLabel} faults={kept.faults} />
          <Field name="words" label="Words" hint="what the mechanic reads at this step" kind="words" value={words} read={!owner} put={setWords} faults={kept.faults} />
          <fieldset>
            <legend>Jobs that have it</legend>
            <PickSome label="Jobs that have it" choices={[...KINDS]} value={kinds} onPick={(k) => owner && setKinds(k)} />
            {kept.faults["kinds"] && <p class="note stop mt">{kept.faults["kinds"]}</p>}
          </fieldset>
          <dl class="facts">
            <dt>Asks for</dt><dd>{asks.length ? asks.join(", ") : "nothing: it is marked as done"}</dd>
            {of.hard.length > 0 && <><dt>Needs first</dt><dd>{named(of.hard, steps).join(", ")}</dd></>}
            {of.soft.length > 0 && <><dt>Better after</dt><dd>{named(of.soft, steps).join(", ")}</dd></>}
            {of.parts.length > 0 && <><dt>Parts</dt><dd>{named(of.parts, cat.parts).join(", ")}</dd></>}
            <dt>Source</dt><dd>{of.tag}</dd>
          </dl>
        </>
      ),
    }} />
  );
}
