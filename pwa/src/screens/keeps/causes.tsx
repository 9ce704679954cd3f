import type { ComponentProps } from "preact";
import { useMemo, useState } from "preact/hooks";
import { api, catalogue, session } from "../../book";
import type { Catalogue } from "../../catalogue";
import type { components } from "../../contract";
import { LIMITS } from "../../limits";
import { num } from "../../look/number";
import { ShareRule } from "../../look/share_rule";
import { Leaf } from "../../look/touch";
import { labelOf } from "../entry_words";
import { Waiting } from "../missing";
import { idOf, putTable, useDraft, type Draft, type Table } from "./draft";
import { Choose, Field } from "../field";
import { useKept, type Kept } from "./kept";
import { goOn, Room, useOpen } from "./room";
import { typedNumber, wrongOnes } from "../typed";
import { TableActs, WhoseTable } from "./table_acts";

type Answer = components["schemas"]["Causes"];
type Cause = components["schemas"]["Cause"];
type CauseTable = Table<Cause> & { learned: Answer["learned"] };

const LIST = "#/workshop/causes";
const read = async (): Promise<CauseTable> => asTable(await api.get<Answer>("/workshop/causes"));
const put = async (causes: Cause[] | null): Promise<CauseTable> => asTable(await api.put<Answer>("/workshop/causes", { causes }));
const asTable = ({ causes, ...rest }: Answer): CauseTable => ({ ...rest, rows: causes });

/** Causes of comebacks: which the review weighs, how often each comes, and what closed comebacks have taught. */
export function Causes({ rest: [id] }: { rest: string[] }) {
  const cat = catalogue.value;
  const kept = useKept(read, "Causes", id);
  const draft = useDraft<Cause>(kept.answer);
  const open = useOpen(id, draft.rows[0]?.id);
  if (!cat) return <Waiting />;
  const save = (rows: Cause[] | null) => putTable(kept, put, rows);
  const chosen = draft.rows.find((c) => c.id === open);
  const room = {
    at: "causes", kept, list: kept.answer && <List table={kept.answer} draft={draft} at={open} />, aside: kept.answer ? `${draft.rows.length} in use` : "",
    acts: (
      <>
        {session.value?.role === "owner" && !draft.changes && <a class="b big full" href={`${LIST}/new`}>A cause of your own</a>}
        <TableActs table={kept.answer} draft={draft} busy={kept.busy} save={save} what="causes" />
      </>
    ),
  } as const;
  return chosen || open === "new" ? <Change key={`${open}${kept.answer?.in_force_from}`} cat={cat} kept={kept} draft={draft} of={chosen ?? null} room={room} /> : <Room {...room} />;
}

function List({ table, draft, at }: { table: CauseTable; draft: Draft<Cause>; at: string | undefined }) {
  const owner = session.value?.role === "owner";
  const learned = new Map(table.learned.map((l) => [l.id, l]));
  return (
    <>
      <WhoseTable table={table} what="causes" />
      <ul>
        {draft.rows.map((c) => {
          const l = learned.get(c.id);
          return (
            <li key={c.id} class="row kept-row" aria-current={c.id === at ? "true" : undefined}>
              <a class="w row-link" href={`${LIST}/${c.id}`}>
                <b>{c.label}</b> <span class="s">{l ? `starts at ${pc(l.start)} %; ${l.closed ? `found in ${l.closed} of ${l.could_be}, now ${pc(l.learned)} %` : "not found yet"}` : "not yet in force"}</span>
              </a>
              {owner && <Leaf on onPick={() => draft.leaveOut(c.id)}><span class="sr">{c.label}: </span>in use</Leaf>}
            </li>
          );
        })}
      </ul>
      {draft.out.length > 0 && <h2>Left out</h2>}
      <ul>
        {draft.out.map((c) => (
          <li key={c.id} class="row kept-row"><span class="w">{c.label}</span>{owner && <Leaf on={false} onPick={() => draft.putBack(c.id)}><span class="sr">{c.label}: </span>in use</Leaf>}</li>
        ))}
      </ul>
    </>
  );
}

const HOW_OFTEN = [{ id: "", label: "does not speak for it" }, { id: "rarely", label: "rarely" }, { id: "sometimes", label: "sometimes" }, { id: "likely", label: "likely" }];
const LEVELS = ["likely", "either", "sometimes", "rarely"] as const;

const { label: NAMED, prior: SHARE } = LIMITS.Cause;
const ASKED = { label: { label: "Name", limit: NAMED }, share: { label: "Share", unit: "%", limit: { least: 100 * SHARE.least, most: 100 * SHARE.most } } };

interface ChangeProps { cat: Catalogue; kept: Kept<CauseTable>; draft: Draft<Cause>; of: Cause | null; room: ComponentProps<typeof Room> }

function Change({ cat, kept, draft, of, room }: ChangeProps) {
  const [label, setLabel] = useState(of?.label ?? "");
  const [share, setShare] = useState(num((of?.prior ?? 0.02) * 100, 2));
  const start = useMemo(() => Object.fromEntries(cat.symptoms.map((s) => [s.id, LEVELS.find((l) => of?.[l]?.includes(s.id)) ?? ""])), [of]);
  const [levels, setLevels] = useState<Record<string, string>>(start);
  const owner = session.value?.role === "owner";
  const learned = kept.answer?.learned.find((l) => l.id === of?.id);
  const keep = () => {
    const prior = typedNumber(share);
    const wrong = wrongOnes(ASKED, { label, share });
    if (!label.trim()) wrong["label"] = "Name: what does the shop call it?";
    if (prior === null) wrong["share"] = "Share: a number from 0 to 100 %.";
    if (Object.keys(wrong).length) return kept.refuse(wrong);
    const lists = Object.fromEntries(LEVELS.map((l) => [l, cat.symptoms.filter((s) => levels[s.id] === l).map((s) => s.id)]));
    const row = {
      ...(of ?? { id: idOf(label, [...draft.rows, ...draft.out].map((c) => c.id)), changes: [], events: [], applies: {}, tag: "set by the shop" }),
      ...lists, label: label.trim(), prior: prior! / 100,
    };
    draft.set(row as Cause);
    goOn(LIST, row.id);
  };
  return (
    <Room {...room} open={{
      name: of?.label ?? "A cause of your own",
      acts: owner && <button type="button" class="big go w" onClick={keep}>Keep for now</button>,
      body: (
        <>
          <Field name="label" label="Name" value={label} read={!owner} put={setLabel} faults={kept.faults} />
          <Field name="share" label="Share among comebacks to start with" hint="%, beside the others" kind="number" value={share} read={!owner} put={setShare} faults={kept.faults} />
          {learned && <ul class="mt"><ShareRule name="Learned from closed comebacks" share={learned.learned} note={learned.closed ? `Found in ${learned.closed} of ${learned.could_be} closed comebacks that could have it.` : "Not found in a closed comeback yet: the start share, as it stands among the others."} /></ul>}
          {of && <p class="s mt">{of.tag}{of.changes?.length ? `. Speaks through: ${of.changes.map((c) => changeWords(cat, c)).join(", ")}.` : "."}</p>}
          <h2>Symptoms it brings</h2>
          <div class="symptoms">
            {cat.symptoms.map((s) => (
              <Choose key={s.id} name={`symptom-${s.id}`} label={s.label} value={levels[s.id] ?? ""} put={(l) => owner && setLevels({ ...levels, [s.id]: l })}
                choices={levels[s.id] === "either" || start[s.id] === "either" ? [...HOW_OFTEN, { id: "either", label: "likely, this or another" }] : HOW_OFTEN} />
            ))}
          </div>
        </>
      ),
    }} />
  );
}

const WAY: Record<string, string> = { up: "up", down: "down", same: "unchanged", differs: "changed", failed: "failed" };

function changeWords(cat: Catalogue, change: NonNullable<Cause["changes"]>[number]): string {
  const of = change as { quantity?: string; needed?: string; fastener?: string; check?: string; direction: string };
  const way = WAY[of.direction] ?? of.direction;
  if (of.fastener) return `${labelOf(cat.fasteners, of.fastener).toLowerCase()} loose`;
  if (of.check) return `${labelOf(cat.checks, of.check).toLowerCase()} failed`;
  const id = of.quantity ?? of.needed ?? "";
  const label = DERIVED[id] ?? labelOf(cat.quantities, id).toLowerCase();
  return of.needed ? `${label} needed ${way}` : `${label} ${way}`;
}

const DERIVED: Record<string, string> = { hanger_vertical: "hanger's vertical part", hanger_residual: "hanger's readings apart" };
const pc = (share: number): string => num(share * 100, 1);
