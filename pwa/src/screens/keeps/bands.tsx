import type { ComponentChildren, ComponentProps } from "preact";
import { useState } from "preact/hooks";
import { api, bikes, catalogue, refreshCatalogue, session } from "../../book";
import type { Catalogue, Quantity } from "../../catalogue";
import { BandRule } from "../../look/band_rule";
import { LIMITS } from "../../limits";
import { scaleOf, type Scale } from "../../look/geometry";
import { num, time } from "../../look/number";
import { unitLabel } from "../entry_words";
import { Waiting } from "../missing";
import { nameOf } from "../people";
import { familyWords } from "../workshop/answers";
import { doubts, inForce, limitsOf, limitWords, startBands, startOf, whenWords, wrongLimits, type Limits, type OwnBand } from "./band_words";
import { Choose, Field } from "../field";
import { useKept, type Kept } from "./kept";
import { Room, useOpen } from "./room";
import { typedNumber, wrongOnes } from "../typed";

const read = async (): Promise<OwnBand[]> => (await api.get<{ bands: OwnBand[] }>("/workshop/bands")).bands;
const LIST = "#/workshop/bands";
const ALL = "all";
type RoomHead = ComponentProps<typeof Room>;
const LABELS = { lower: "Lower limit", target: "Target", upper: "Upper limit" } as const;
const NOTE = "Where it comes from";

/** The tolerance bands that readings are judged by: what each begins with, and what the shop has set instead. */
export function Bands({ rest: [id] }: { rest: string[] }) {
  const cat = catalogue.value;
  const kept = useKept(read, "Bands", id);
  const open = useOpen(id, cat?.quantities[0]?.id);
  if (!cat) return <Waiting />;
  const q = cat.quantities.find((x) => x.id === open);
  const set = new Set(kept.answer?.map((b) => b.quantity)).size;
  const room = { at: "bands", kept, list: <List cat={cat} own={kept.answer ?? []} at={open} />, aside: kept.answer ? `${set} set by the shop` : "" } as const;
  return kept.answer && q ? <Change key={open} cat={cat} q={q} kept={kept} room={room} /> : <Room {...room} />;
}

function List({ cat, own, at }: { cat: Catalogue; own: readonly OwnBand[]; at: string | undefined }) {
  return (
    <ul>
      {cat.quantities.map((q) => {
        const [set, start] = [[...inForce(own, q.id).values()], startBands(q)];
        const unit = unitLabel(cat, q.unit);
        const words = set.length ? set.map((b) => `${limitWords(b, unit, q.signed)}${b.family ? ` for ${familyWords(b.family)}` : ""}`).join("; ")
          : start.length > 1 ? start.map((b) => limitWords(b, unit, q.signed)).join("; ") : limitWords(start[0] ?? null, unit, q.signed);
        return (
          <li key={q.id}>
            <a class="row-link" href={`${LIST}/${q.id}`} aria-current={q.id === at ? "true" : undefined}>
              <span class="row sp"><b>{q.label}</b>{set.length > 0 && <span class="xs nowrap">set by the shop</span>}</span>
              <span class="s">{words}{!set.length && start.length > 1 ? ", by drivetrain" : ""}</span>
            </a>
          </li>
        );
      })}
    </ul>
  );
}

function Change({ cat, q, kept, room }: { cat: Catalogue; q: Quantity; kept: Kept<OwnBand[]>; room: RoomHead }) {
  const own = inForce(kept.answer!, q.id);
  const families = [...new Set([...bikes.value.flatMap((b) => (b.family ? [b.family] : [])), ...[...own.keys()].filter((f) => f !== null)])];
  const [family, setFamily] = useState(ALL);
  return (
    <ForFamily key={`${family}${kept.answer!.length}`} cat={cat} q={q} kept={kept} room={room} family={family === ALL ? null : family} own={own}
      choose={<Choose name="family" label="For which bikes" value={family} put={setFamily} choices={[{ id: ALL, label: "all bikes" }, ...families.map((f) => ({ id: f, label: familyWords(f) }))]} />} />
  );
}

interface ForFamilyProps { cat: Catalogue; q: Quantity; kept: Kept<OwnBand[]>; room: RoomHead; family: string | null; own: Map<string | null, OwnBand>; choose: ComponentChildren }

function ForFamily({ cat, q, kept, room, family, own, choose }: ForFamilyProps) {
  const starts = startBands(q);
  const start = family === null ? (starts[0] ?? null) : startOf(q, family, bikes.value);
  const set = own.get(family) ?? own.get(null);
  const now = limitsOf(set ?? start);
  const [texts, setTexts] = useState(() => textsOf(now));
  const [note, setNote] = useState(set?.note ?? "");
  const owner = session.value?.role === "owner";
  const unit = unitLabel(cat, q.unit);
  const limits = Object.fromEntries((["lower", "target", "upper"] as const).map((k) => [k, { label: LABELS[k], limit: LIMITS.BandPut[k], unit }]));
  const wrong = wrongOnes({ ...limits, note: { label: NOTE, limit: LIMITS.BandPut.note } }, { ...texts, note });
  const next: Limits = { lower: typedNumber(texts.lower), target: typedNumber(texts.target), upper: typedNumber(texts.upper) };
  const sound = !Object.keys(wrong).length && !Object.keys(wrongLimits(next)).length;
  const changed = sound && (["lower", "target", "upper"] as const).some((k) => next[k] !== now[k]);
  const idle = sound && !changed;
  const doubt = sound && changed ? doubts(next, q, unit) : null;
  const save = () => {
    const faults = { ...wrong, ...(Object.keys(wrong).length ? {} : wrongLimits(next)) };
    if (Object.keys(faults).length) return kept.refuse(faults);
    kept.write(async () => {
      const { bands } = await api.put<{ bands: OwnBand[] }>("/workshop/bands", { bands: [{ quantity: q.id, family, ...next, note: note.trim() || null }] });
      void refreshCatalogue();
      return bands;
    });
  };
  const limit = (k: keyof Limits) => <Field name={k} label={LABELS[k]} hint={unit} kind={q.signed ? "signed" : "number"} value={texts[k]} read={!owner} faults={kept.faults} put={(text) => setTexts((t) => ({ ...t, [k]: text }))} />;
  return (
    <Room {...room} open={{
      name: q.label,
      acts: owner && <button type="button" class={idle ? "big w" : "big go w"} aria-disabled={idle || kept.busy} onClick={() => idle || save()}>{!idle ? "Put in force from now" : set && set.family === family ? "In force" : "Nothing changed"}</button>,
      body: (
        <>
          {choose}
          <dl class="facts">
            <dt>Start value</dt>
            <dd>{family === null && starts.length > 1
              ? starts.map((b) => <p key={whenWords(b.when)}>{whenWords(b.when)}: {limitWords(b, unit, q.signed)} <Source tag={b.tag} source={b.source} /></p>)
              : start ? <>{limitWords(start, unit, q.signed)} <Source tag={start.tag} source={start.source} /></> : "none: it is read, not judged"}</dd>
            <dt>In force</dt>
            <dd>{set ? <><b>{limitWords(set, unit, q.signed)}</b>, set by {nameOf(set.by)}, {time(set.in_force_from)}{set.family ? "" : family ? ", for all bikes" : ""}{set.note ? `: ${set.note}` : ""}</> : "the start value"}</dd>
            <dt>Measured</dt><dd>{q.tool}, u {num(q.u, 3)} {unit} ({q.u_tag})</dd>
          </dl>
          <div class="banded mt3"><BandRule scale={scaleFor(q, now)} next={changed ? next : null} label={`in force: ${limitWords(now, unit, q.signed)}${changed ? `; as typed: ${limitWords(next, unit, q.signed)}` : ""}`} /></div>
          <p class="xs">Solid: in force{!set && family === null && starts.length > 1 ? ` for ${whenWords(starts[0]!.when)}` : ""}. {changed ? "Dashed: as typed, not yet in force." : "What is typed is dashed over it."}</p>
          <div class="three">{limit("lower")}{limit("target")}{limit("upper")}</div>
          <p class="s mt">An empty field is no limit.</p>
          <Field name="note" label={NOTE} hint="a manual, a habit of the shop" value={note} read={!owner} put={setNote} faults={kept.faults} />
          {doubt && <p class="note mt" role="status">{doubt}</p>}
          {owner
            ? <>
                {start && !same(now, limitsOf(start)) && <button type="button" class="mt" onClick={() => setTexts(textsOf(limitsOf(start)))}>Fill in the start value</button>}
                <p class="s mt">In force from the moment the service has it, never backdated: readings and records of before keep the band they were judged by.{family === null && starts.length > 1 ? " A band for all bikes takes the place of every start value above." : ""}</p>
              </>
            : <p class="s mt">Only the owner's role changes bands.</p>}
          <Past own={kept.answer!.filter((b) => b.quantity === q.id)} unit={unit} signed={q.signed} />
        </>
      ),
    }} />
  );
}

const Source = ({ tag, source }: { tag: string; source?: string | null | undefined }) => <span class="s">({tag}{source ? `: ${source}` : ""})</span>;

function Past({ own, unit, signed }: { own: OwnBand[]; unit: string; signed: boolean | undefined }) {
  if (own.length < 2) return null;
  return (
    <details class="mt">
      <summary>All bands the shop has set for it</summary>
      <ol>{[...own].reverse().map((b) => <li key={b.in_force_from} class="li s">{time(b.in_force_from)}, {nameOf(b.by)}: {limitWords(b, unit, signed)}{b.family ? `, ${familyWords(b.family)}` : ""}{b.note ? `; ${b.note}` : ""}</li>)}</ol>
    </details>
  );
}

const textsOf = (b: Limits) => ({ lower: text(b.lower), target: text(b.target), upper: text(b.upper) });
const text = (v: number | null): string => (v === null ? "" : String(v));
const same = (a: Limits, b: Limits): boolean => a.lower === b.lower && a.target === b.target && a.upper === b.upper;

function scaleFor(q: Quantity, b: Limits): Scale {
  return scaleOf({ ...b, span: q.span, plausible: q.plausible, minor: q.minor, major: q.major, signed: q.signed, zero: q.zero, setting: q.setting, full: q.full });
}
