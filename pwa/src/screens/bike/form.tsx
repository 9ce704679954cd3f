import { useState } from "preact/hooks";
import { v7 } from "uuid";
import { bikeById, bikes, putBike } from "../../book";
import { PickOne } from "../../look/touch";
import type { BikeDraft, Drivetrain } from "../../nouns";
import { Page } from "../page";
import { go } from "../route";
import { BEAD_SEATS, BRAKES, COGS, drivetrainWords, familiesOf, NUMBERS, parseTeeth, REAR_MOUNT, RINGS, sameTeeth, SHIFTING, TYRES, type Preset } from "./facts";
import { notSaved, useOnce } from "../once";

/** A new bike, or one whose facts change. Nothing is asked that the contract does not need; the rest is folded away. */
export function BikeForm({ id }: { id?: string }) {
  const known = id ? bikeById(id) : undefined;
  const [draft, setDraft] = useState<BikeDraft>(() => known ? strip(known) : start());
  const [problem, setProblem] = useState<string | null>(null);
  const set = (change: Partial<BikeDraft>) => setDraft((d) => ({ ...d, ...change }));
  const drive = (change: Partial<Drivetrain>) => setDraft((d) => ({ ...d, drivetrain: { ...d.drivetrain, ...change } }));
  const d = draft.drivetrain;

  const once = useOnce();
  const save = () => once(async () => {
    const wrong = missing(draft);
    setProblem(wrong);
    if (wrong) return;
    try {
      await putBike({ ...draft, label: draft.label.trim() });
      go(known ? `#/bikes/${draft.id}` : `#/bikes/${draft.id}/job`);
    } catch (error) {
      setProblem(notSaved(error));
    }
  });

  return (
    <Page title={known ? `Facts of ${known.label}` : "New bike"} foot={
      <>
        {problem && <p class="note stop" role="alert">{problem}</p>}
        <div class="row">
          <a class="b big" href={known ? `#/bikes/${known.id}` : "#/"}>Cancel</a>
          <button type="button" class="big go w" onClick={save}>{known ? "Keep" : "Keep, then the job"}</button>
        </div>
      </>
    }>
      <label for="label">What the shop calls it</label>
      <input id="label" class="fld big" value={draft.label} maxLength={80} placeholder="Colour, kind, size" onInput={(e) => set({ label: e.currentTarget.value })} />
      {!known && <Families onPick={(drivetrain) => set({ drivetrain })} />}
      <Teeth title="Rings, outer first" id="rings" presets={RINGS} value={d.rings}
        onTeeth={(rings) => drive({ rings: rings.sort((a, b) => b - a), front_derailleur: rings.length > 1 })} />
      <Teeth title="Cogs" id="cogs" presets={COGS} value={d.cogs} onTeeth={(cogs) => drive({ cogs: cogs.sort((a, b) => a - b) })} />
      <Pick title="Shifting" choices={SHIFTING} value={d.shifting} onPick={(shifting) => drive({ shifting })} />
      <Pick title="Rear derailleur" choices={REAR_MOUNT} value={d.rear_mount} onPick={(rear_mount) => drive({ rear_mount })} />
      <YesNo title="Front derailleur" value={d.front_derailleur} onPick={(front_derailleur) => drive({ front_derailleur })} />
      <Pick title="Brakes" choices={BRAKES} value={draft.brakes} onPick={(brakes) => set({ brakes })} />
      <Pick title="Tyres" choices={TYRES} value={draft.tyres} onPick={(tyres) => set({ tyres })} />
      <YesNo title="Suspension" value={d.suspension} onPick={(suspension) => drive({ suspension })} />
      <More draft={draft} set={set} drive={drive} />
    </Page>
  );
}

function start(): BikeDraft {
  const last = bikes.value[0];
  return {
    id: v7(), label: "", brakes: last?.brakes ?? "disc", tyres: last?.tyres ?? "tube",
    drivetrain: { rings: [], cogs: [], shifting: last?.drivetrain.shifting ?? "electronic", rear_mount: "hanger", front_derailleur: true, suspension: false },
  };
}

function strip({ seq: _seq, family: _family, ...draft }: BikeDraft & { seq: number | null; family?: string }): BikeDraft {
  return draft;
}

function missing(draft: BikeDraft): string | null {
  if (!draft.label.trim()) return "Give the bike a name the shop will know it by.";
  if (!draft.drivetrain.rings.length) return "Choose its rings, or type their teeth.";
  if (!draft.drivetrain.cogs.length) return "Choose its cogs, or type their teeth.";
  return null;
}

function Families({ onPick }: { onPick: (d: Drivetrain) => void }) {
  const families = familiesOf(bikes.value);
  if (!families.length) return null;
  return (
    <fieldset>
      <legend>Drivetrain like one here</legend>
      <div class="leaves">
        {families.map((f) => <button type="button" onClick={() => onPick({ ...f })}>{drivetrainWords(f)}</button>)}
      </div>
    </fieldset>
  );
}

function Teeth({ title, id, presets, value, onTeeth }: { title: string; id: string; presets: Preset[]; value: number[]; onTeeth: (teeth: number[]) => void }) {
  const [text, setText] = useState<string | null>(null);
  const chosen = presets.find((p) => sameTeeth(p.teeth, value));
  return (
    <fieldset>
      <legend>{title}</legend>
      <div class="leaves">
        {presets.map((p) => (
          <button type="button" class="lf" aria-pressed={chosen === p} onClick={() => { setText(null); onTeeth([...p.teeth]); }}>{p.label}</button>
        ))}
      </div>
      <label class="mt" for={id}>or the teeth, one after the other</label>
      <input id={id} class="fld" inputMode="text" value={text ?? value.join(" ")} onInput={(e) => {
        setText(e.currentTarget.value);
        onTeeth(parseTeeth(e.currentTarget.value) ?? []);
      }} />
    </fieldset>
  );
}

function Pick<T extends string>({ title, choices, value, onPick }: { title: string; choices: readonly { id: T; label: string }[]; value: T; onPick: (id: T) => void }) {
  return (
    <fieldset>
      <legend>{title}</legend>
      <PickOne label={title} choices={[...choices]} value={value} onPick={(id) => id && onPick(id as T)} />
    </fieldset>
  );
}

function YesNo({ title, value, onPick }: { title: string; value: boolean; onPick: (yes: boolean) => void }) {
  return <Pick title={title} choices={[{ id: "yes", label: "yes" }, { id: "no", label: "no" }]} value={value ? "yes" : "no"} onPick={(id) => onPick(id === "yes")} />;
}

interface MoreProps { draft: BikeDraft; set: (c: Partial<BikeDraft>) => void; drive: (c: Partial<Drivetrain>) => void }

function More({ draft, set, drive }: MoreProps) {
  const wheel = draft.wheel ?? {};
  const text = (id: string, label: string, value: string, put: (v: string) => void) => (
    <>
      <label class="mt" for={id}>{label}</label>
      <input id={id} class="fld" value={value} onInput={(e) => put(e.currentTarget.value)} />
    </>
  );
  return (
    <details class="mt3">
      <summary>More facts, none of them needed to begin</summary>
      {text("frame", "Frame number", draft.frame_number ?? "", (v) => set({ frame_number: v.trim() || undefined }))}
      {text("serials", "Serial numbers of parts, with commas", (draft.serials ?? []).join(", "), (v) => {
        const serials = v.split(",").map((s) => s.trim()).filter(Boolean);
        set({ serials: serials.length ? serials : undefined });
      })}
      <fieldset>
        <legend>Bead seat diameter, mm</legend>
        <PickOne label="Bead seat diameter" loose value={wheel.bead_seat_mm ? String(wheel.bead_seat_mm) : null}
          choices={BEAD_SEATS.map((mm) => ({ id: String(mm), label: String(mm) }))}
          onPick={(mm) => set({ wheel: clean({ ...wheel, bead_seat_mm: mm ? Number(mm) : undefined }) })} />
      </fieldset>
      <NumberField id="circumference" label="Wheel circumference, mm" hint="rolled out under the rider" value={wheel.circumference_mm}
        put={(v) => set({ wheel: clean({ ...wheel, circumference_mm: v }) })} />
      {NUMBERS.map((f) => <NumberField id={f.key} label={f.label} hint={f.hint} value={draft.drivetrain[f.key]} put={(v) => drive({ [f.key]: v })} />)}
    </details>
  );
}

function clean<T extends object>(value: T): T | undefined {
  return Object.values(value).some((v) => v !== undefined) ? value : undefined;
}

function NumberField({ id, label, hint, value, put }: { id: string; label: string; hint: string; value: number | undefined; put: (v: number | undefined) => void }) {
  return (
    <>
      <label class="mt" for={id}>{label} <span class="xs">{hint}</span></label>
      <input id={id} class="fld" inputMode="decimal" defaultValue={value ?? ""} onInput={(e) => {
        const n = Number(e.currentTarget.value.replace(",", "."));
        put(e.currentTarget.value.trim() && Number.isFinite(n) && n > 0 ? n : undefined);
      }} />
    </>
  );
}
