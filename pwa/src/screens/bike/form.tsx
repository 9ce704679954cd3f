import { useEffect, useRef, useState } from "preact/hooks";
import { v7 } from "uuid";
import { bikeById, bikes, held, putBike } from "../../book";
import { PickOne } from "../../look/touch";
import type { BikeDraft, Drivetrain } from "../../nouns";
import { draftOf } from "../../store/edits";
import { merge } from "../../store/merge";
import { Field, toField } from "../field";
import { NotHere } from "../missing";
import { notSaved, useOnce } from "../once";
import { Page } from "../page";
import { go } from "../route";
import type { Faults } from "../typed";
import { BRAKES, drivetrainWords, REAR_MOUNT, SHIFTING, TYRES } from "./facts";
import { BEAD_SEATS, COGS, familiesOf, RINGS, type Preset } from "./presets";
import { bikeOf, NUMBER_NAMES, NUMBERS, refusedFacts, sameTeeth, teethOf, textsOf, wrongFacts, type Texts } from "./typed_facts";

/** A new bike, or one whose facts change. */
export function BikeForm({ id }: { id?: string }) {
  return id && !bikeById(id) ? <NotHere what="bike" /> : <Form id={id} />;
}

const FOLDED: readonly string[] = ["frame_number", "serials", ...NUMBER_NAMES];

/** Nothing is asked that the contract does not need; the rest is folded away. */
function Form({ id }: { id: string | undefined }) {
  /** As it was when the form was opened. */
  const [known] = useState(() => (id ? draftOf("bike", bikeById(id)!) : null));
  const [chosen, setChosen] = useState<BikeDraft>(() => known ?? start());
  const [texts, setTexts] = useState<Texts>(() => textsOf(chosen));
  const [told, tell] = useState<{ problem: string | null; faults: Faults }>({ problem: null, faults: {} });
  const more = useRef<HTMLDetailsElement>(null);
  const { faults } = told;
  const set = (change: Partial<BikeDraft>) => setChosen((bike) => ({ ...bike, ...change }));
  const drive = (change: Partial<Drivetrain>) => setChosen((bike) => ({ ...bike, drivetrain: { ...bike.drivetrain, ...change } }));
  const put = (name: keyof Texts) => (text: string) => setTexts((all) => ({ ...all, [name]: text }));
  const d = chosen.drivetrain;

  const refuse = (problem: string | null, wrong: Faults) => {
    tell({ problem, faults: wrong });
    if (Object.keys(wrong).some((name) => FOLDED.includes(name))) more.current!.open = true;
    toField(Object.keys(wrong)[0]);
  };
  useEffect(() => {
    // Opened to put right what the service has refused.
    const refused = held.value.find((edit) => edit.noun === "bike" && edit.id === id && edit.state === "refused")?.problem;
    const wrong = refusedFacts(refused);
    if (refused) refuse(Object.values(wrong)[0] ?? refused.detail ?? refused.title, wrong);
  }, []);

  const once = useOnce();
  const save = () => once(async () => {
    const wrong = wrongFacts(texts);
    const first = Object.values(wrong)[0];
    if (first) return refuse(first, wrong);
    const mine = bikeOf(chosen, texts);
    const now = known && bikeById(known.id);
    try {
      // What another phone has changed meanwhile, and nobody here, stays.
      await putBike(now ? merge(known, mine, draftOf("bike", now)).body : mine);
      go(known ? `#/bikes/${mine.id}` : `#/bikes/${mine.id}/job`);
    } catch (error) {
      tell({ problem: notSaved(error), faults: {} });
    }
  });

  const setTeeth = (part: "rings" | "cogs", text: string) => {
    put(part)(text);
    const rings = part === "rings" && teethOf(text, "Rings");
    if (typeof rings !== "object") return;
    const before = teethOf(texts.rings, "Rings");
    // One ring more or fewer than one decides it; otherwise it stays as it was chosen.
    const same = typeof before === "object" && before.length > 1 === rings.length > 1;
    if (!same) drive({ front_derailleur: rings.length > 1 });
  };
  const field = (name: keyof Texts, label: string, hint?: string) => (
    <Field key={name} name={name} label={label} hint={hint} value={texts[name]} put={put(name)} faults={faults} kind={name in NUMBERS ? "number" : "text"} />
  );
  return (
    <Page title={known ? `Facts of ${known.label}` : "New bike"} foot={
      <>
        {told.problem && <p class="note stop" role="alert">{told.problem}</p>}
        <div class="row">
          <a class="b big" href={known ? `#/bikes/${known.id}` : "#/"}>Cancel</a>
          <button type="button" class="big go w" onClick={save}>{known ? "Keep" : "Keep, then the job"}</button>
        </div>
      </>
    }>
      {field("label", "What the shop calls it", "colour, kind, size")}
      {!known && <Families onPick={({ rings, cogs, shifting, rear_mount, front_derailleur }) => {
        // Its lengths are its own: a chainstay belongs to one frame.
        drive({ shifting, rear_mount, front_derailleur });
        setTexts((all) => ({ ...all, rings: rings.join(" "), cogs: cogs.join(" ") }));
      }} />}
      <Teeth part="Rings" legend="Rings, outer first" presets={RINGS} text={texts.rings} put={(text) => setTeeth("rings", text)} faults={faults} />
      <Teeth part="Cogs" legend="Cogs" presets={COGS} text={texts.cogs} put={(text) => setTeeth("cogs", text)} faults={faults} />
      <Pick title="Shifting" choices={SHIFTING} value={d.shifting} onPick={(shifting) => drive({ shifting })} />
      <Pick title="Rear derailleur" choices={REAR_MOUNT} value={d.rear_mount} onPick={(rear_mount) => drive({ rear_mount })} />
      <YesNo title="Front derailleur" value={d.front_derailleur} onPick={(front_derailleur) => drive({ front_derailleur })} />
      <Pick title="Brakes" choices={BRAKES} value={chosen.brakes} onPick={(brakes) => set({ brakes })} />
      <Pick title="Tyres" choices={TYRES} value={chosen.tyres} onPick={(tyres) => set({ tyres })} />
      <YesNo title="Suspension" value={d.suspension} onPick={(suspension) => drive({ suspension })} />
      <details class="mt3" ref={more}>
        <summary>More facts, none of them needed to begin</summary>
        {field("frame_number", "Frame number")}
        {field("serials", "Serial numbers of parts, with commas")}
        <fieldset>
          <legend>Bead seat diameter, mm</legend>
          <PickOne label="Bead seat diameter" loose value={chosen.wheel?.bead_seat_mm ? String(chosen.wheel.bead_seat_mm) : null}
            choices={BEAD_SEATS.map((mm) => ({ id: String(mm), label: String(mm) }))}
            onPick={(mm) => set({ wheel: { ...chosen.wheel, bead_seat_mm: mm ? Number(mm) : undefined } })} />
        </fieldset>
        {NUMBER_NAMES.map((name) => field(name, [NUMBERS[name].label, NUMBERS[name].unit].filter(Boolean).join(", "), NUMBERS[name].hint))}
      </details>
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

function Families({ onPick }: { onPick: (d: Drivetrain) => void }) {
  const families = familiesOf(bikes.value);
  if (!families.length) return null;
  return (
    <fieldset>
      <legend>Drivetrain like one here</legend>
      <div class="leaves">
        {families.map((f) => <button type="button" onClick={() => onPick(f)}>{drivetrainWords(f)}</button>)}
      </div>
    </fieldset>
  );
}

interface TeethProps { part: "Rings" | "Cogs"; legend: string; presets: Preset[]; text: string; put: (text: string) => void; faults: Faults }

function Teeth({ part, legend, presets, text, put, faults }: TeethProps) {
  const teeth = teethOf(text, part);
  return (
    <fieldset>
      <legend>{legend}</legend>
      <div class="leaves">
        {presets.map((p) => (
          <button type="button" class="lf" aria-pressed={typeof teeth === "object" && sameTeeth(p.teeth, teeth)} onClick={() => put(p.teeth.join(" "))}>{p.label}</button>
        ))}
      </div>
      <Field name={part.toLowerCase()} label="or the teeth, one after the other" value={text} put={put} faults={faults} />
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
