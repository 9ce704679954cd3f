import type { ComponentChildren } from "preact";
import { useEffect, useState } from "preact/hooks";
import { candidatesByCount, candidatesByTaps, turnsOf, type Noise, type Sounding } from "../../domain/noise";
import { GearStrip } from "../../look/gear_strip";
import { count as counted, num } from "../../look/number";
import { LIMITS } from "../../limits";
import { TapRule } from "../../look/tap_rule";
import { Leaf, PickOne, PickSome } from "../../look/touch";
import { Turns } from "../../look/turns";
import type { EntryData } from "../../nouns";
import { marksOf, reach } from "./marks";
import { FigureGrid, useFigures, type Figure, type Figures } from "./figures";
import { KeepFoot, useKeeping } from "./keeping";
import type { Place } from "./place";
import { Ranking } from "./ranking";
import { attempt, Reason, Sheet } from "./sheet";
import { TapPlane, useTaps, type Taps } from "./tapping";

const Z = 1.96;

/** A noise by its pace: counted in ten pedal turns, or, in the stand or on a trainer, tapped along with. */
export function NoiseSheet({ place }: { place: Place }) {
  const { cat, work } = place;
  const [tapping, setTapping] = useState(false);
  const [count, setCount] = useState<number | null>(null);
  const [sound, setSound] = useState<string | null>(null);
  const [when, setWhen] = useState<string[]>([]);
  const rings = work?.bike.drivetrain.rings ?? [];
  const [ring, setRing] = useState<number | null>(rings.length === 1 ? rings[0]! : null);
  const [cog, setCog] = useState<number | null>(null);
  const { taps, tap, clear } = useTaps();
  const figures = useFigures(asked(place));
  const keeping = useKeeping(place);

  const gear = { ring: work ? ring : figures.value("ring"), cog: work ? cog : figures.value("cog") };
  const known = soundingOf(place, figures, gear, when);
  const { answer: found, reason } = attempt(() => (known === null ? null : rank(known, tapping ? taps : null, count)));
  const plural = cat.sounds.find((s) => s.id === sound)?.plural ?? "noises";
  const begun = tapping ? taps.noise.length > 0 : count !== null;

  // The answer stands on top: on a low phone it would be out of sight.
  useEffect(() => {
    if (found) scrollTo(0, 0);
  }, [found === null, count, tapping]);

  const data = noiseData(sound, when, tapping ? taps : null, count, figures);
  const keep = () => {
    const wrong = sound ? figures.wrong() : "Say what noise it is first.";
    if (wrong) return keeping.say(wrong);
    keeping.keepHere([{ kind: "noise", stage: keeping.stage, data: data!, ...(gear.ring && gear.cog ? { gear: { ring: gear.ring, cog: gear.cog } } : {}) }],
      `${cat.sounds.find((s) => s.id === sound)?.label ?? sound}${tapping ? `, ${counted(taps.noise.length, "tap")}` : count === null ? "" : `, ${count} in ten turns`}`);
  };
  return (
    <Sheet place={place} title="Noise" figures={figures} foot={
      <>
        <div class="c2 tight0">
          <Leaf on={!tapping} onPick={() => setTapping(false)}>count</Leaf><Leaf on={tapping} onPick={() => setTapping(true)}>tap along</Leaf>
        </div>
        {tapping
          ? (
            <div class="c2 tight0">
              <TapPlane words="Tap the noise" n={taps.noise.length} onTap={(at) => tap("noise", at)} />
              <TapPlane words="Tap the crank" n={taps.crank.length} onTap={(at) => tap("crank", at)} />
            </div>
          ) : (
            <div class="row sp">
              <button type="button" class="flat big" onClick={() => setCount(Math.max(1, (count ?? 1) - 1))}>1 fewer</button>
              <p class="val">{count ?? "–"}<i>{plural}</i></p>
              <button type="button" class="flat big" onClick={() => setCount((count ?? 0) + 1)}>1 more</button>
            </div>
          )}
        <KeepFoot place={place} keeping={keeping} keep={work ? "Keep" : null} onKeep={keep} />
      </>
    }>
      {tapping
        ? <p class="note stop mt">Only in the stand or on a trainer: never tap while riding. One finger taps with the noise, another each time the left crank passes the same place.</p>
        : <p class="s">Turn the crank ten times in one gear, counting from nought, and count the {plural}.</p>}
      {tapping && begun && <TapRule noise={taps.noise} crank={taps.crank} label={`${counted(taps.noise.length, "tap")} of the noise, ${taps.crank.length} of the crank`} />}
      {found && <Found found={found} known={known!} />}
      {begun && known === null && <Reason words="Choose the gear: the wheel's pace depends on it." />}
      {begun && <Reason words={reason} />}
      {tapping && begun && <button type="button" class="flat mt" onClick={clear}>Tap again from the start</button>}
      {work && (
        <Folded title={gear.ring && gear.cog ? `Heard in ${gear.ring} × ${gear.cog}` : "Heard in which gear?"} chosen={!!(gear.ring && gear.cog)} other="Other gear">
          {(done) => <GearStrip rings={rings} cogs={work.bike.drivetrain.cogs} ring={ring} cog={cog} onGear={(r, c) => { setRing(r); setCog(c); if (r && c && c !== cog) done(); }} />}
        </Folded>
      )}
      <Folded title={sound ? `A ${cat.sounds.find((s) => s.id === sound)?.label}` : "What noise"} chosen={!!sound} other="Other noise">
        {(done) => <PickOne label="What noise" cls="c3" choices={cat.sounds} value={sound} onPick={(id) => { setSound(id); keeping.say(null); done(); }} />}
      </Folded>
      <h2>When</h2>
      <PickSome label="When" choices={cat.whens} value={when} onPick={setWhen} />
      <h2>Where known</h2>
      <FigureGrid figures={figures} label="Where known" />
    </Sheet>
  );
}

function asked({ work }: Place): Figure[] {
  const links = work?.values.find((v) => v.quantity === "chain_links")?.value;
  return [
    ...(work ? [] : [{ id: "ring", label: "Ring", unit: "teeth", step: 1, start: 40 }, { id: "cog", label: "Cog", unit: "teeth", step: 1, start: 17 }]),
    { id: "cadence", label: "Cadence", unit: "a min", step: 5, limit: LIMITS.NoiseData.cadence_rpm, loose: true, start: 60, how: "Turns of the crank a minute, as a trainer shows them." },
    { id: "links", label: "Chain", unit: "links", step: 2, loose: true, known: links, start: 110, how: "So that one round of the chain has its pace." },
    { id: "pulley", label: "Pulley", unit: "teeth", step: 1, loose: true, start: 12, how: "Teeth of one pulley of the rear derailleur." },
  ];
}

function soundingOf(place: Place, figures: Figures, gear: { ring: number | null; cog: number | null }, when: string[]): Sounding | null {
  if (!gear.ring || !gear.cog) return null;
  return {
    ring: gear.ring, cog: gear.cog, chain_links: figures.value("links"), pulley_teeth: figures.value("pulley"), cadence_rpm: figures.value("cadence"),
    circumference_mm: place.work?.bike.wheel?.circumference_mm, coasting: when.includes("coasting") ? true : null,
  };
}

function rank(known: Sounding, taps: Taps | null, count: number | null): Noise | null {
  if (taps) return taps.noise.length ? candidatesByTaps(taps.noise, known, taps.crank.length ? taps.crank : null) : null;
  return count === null ? null : candidatesByCount(count, known);
}

function noiseData(sound: string | null, when: string[], taps: Taps | null, count: number | null, figures: Figures): EntryData["noise"] | null {
  if (!sound) return null;
  const cadence = figures.given("cadence");
  return {
    sound, when, ...(cadence === undefined ? {} : { cadence_rpm: cadence }),
    ...(!taps ? (count === null ? {} : { count_in_ten_turns: count })
      : { ...(taps.noise.length && { taps_ms: taps.noise }), ...(taps.crank.length && { crank_taps_ms: taps.crank }) }),
  };
}

/** A choice that folds away once it is made, so that the answer stays in sight. */
function Folded({ title, chosen, other, children }: { title: string; chosen: boolean; other: string; children: (done: () => void) => ComponentChildren }) {
  const [open, setOpen] = useState(!chosen);
  return (
    <>
      <h2 class="row sp tight">{title}{!open && chosen && <button type="button" class="flat" onClick={() => setOpen(true)}>{other}</button>}</h2>
      {(open || !chosen) && children(() => setOpen(false))}
    </>
  );
}

/** The period where it was tapped, the place among the parts, and what they say. */
function Found({ found, known }: { found: Noise; known: Sounding }) {
  const ratio = found.ratio_to_crank;
  const marks = marksOf(turnsOf(known));
  return (
    <>
      {found.period_ms !== null && found.period_interval_ms && (
        <p class="s mt">One every <b>{num(found.period_ms / 1000, 3)} s</b>, {found.period_interval_ms.map((ms) => num(ms / 1000, 3)).join(" to ")} s{ratio === null ? "" : `: ${num(ratio, 2)} for one turn of the crank`}.</p>
      )}
      {ratio !== null && <Turns n={10 * ratio} top={reach(10 * ratio, marks)} half={10 * Z * found.u_ratio_to_crank!} marks={marks} label={`${num(10 * ratio, 1)} in ten turns. ${found.advice}`} />}
      <Ranking found={found} />
    </>
  );
}
