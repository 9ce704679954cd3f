import { useState } from "preact/hooks";
import { contrast } from "../look/contrast";
import { Dial } from "../look/dial";
import { scaleOf } from "../look/geometry";
import { GearStrip } from "../look/gear_strip";
import { num } from "../look/number";
import { Pad } from "../look/pad";
import { PlanRule, StepGlyph, type StepMark } from "../look/plan_rule";
import { QuantityLine } from "../look/quantity_line";
import { RideRule } from "../look/ride_rule";
import { Rule } from "../look/rule";
import { StageGlyph, WitnessGlyph } from "../look/stage";
import { Tally } from "../look/tally";
import { Leaf, PickOne } from "../look/touch";
import { Turns } from "../look/turns";
import { Verdict } from "../look/verdict";
import { Page } from "./page";
import { theme, THEMES, type Theme } from "./theme";

const mm = { unit: "mm", plausible: [0, 60] as [number, number], minor: 0.1, major: 0.5 };
const GAP = scaleOf({ ...mm, lower: 4.5, upper: 6 });
const HEIGHT = scaleOf({ ...mm, lower: 1, upper: 2, zero: true });
const BEND = scaleOf({ ...mm, upper: 2, zero: true });
const PADS = scaleOf({ ...mm, lower: 1, zero: true });
const TRIM = scaleOf({ plausible: [-40, 40], minor: 1, major: 5, span: 5, reference: 3, signed: true, setting: true, ends: ["outboard", "inboard"] });
const BATTERY = scaleOf({ plausible: [0, 100], minor: 2, major: 10, lower: 80, full: 100, zero: true });
const REACH = scaleOf({ plausible: [0, 500], minor: 1, major: 5, zero: true });
const PLAN: StepMark[] = ["done", "done", "done", "now", "todo", "todo", "held", "held"];

/** Every token and part on one page, for review. */
export function LookSheet() {
  return (
    <Page title="The machinist's rule" cls="wide" aside={<a href="#/settings">Settings</a>}>
      <PickOne label="Look" value={theme.value} onPick={(id) => id && (theme.value = id as Theme)} choices={THEMES} />
      <div class="sheet">
        <section><Parts /></section>
        <section><Lines /></section>
        <section><Type /></section>
      </div>
      <div class="sheet">
        <section data-theme="light"><Swatches title="Light, by day and on the road" /><Touch id="light" /></section>
        <section data-theme="dark"><Swatches title="Dark, for the stand" /><Touch id="dark" /></section>
      </div>
    </Page>
  );
}

function Parts() {
  const row = (rule: preact.ComponentChildren, name: string, words: string) => <tr><td class="half">{rule}</td><td><b>{name}</b>{words}</td></tr>;
  const r = (label: string, more: object) => <Rule scale={GAP} label={label} {...more} />;
  return (
    <>
      <h2>Parts of the rule</h2>
      <table>
        <tbody>
          {row(<Rule scale={REACH} label="edge and graduations" />, "edge and graduations", ", always in the quantity's own unit")}
          {row(r("bracket", {}), "bracket", ": the band, its limits always at 30 and 70 %")}
          {row(r("tick and whisker", { value: 5.2, whisker: [4.87, 5.53] }), "tick and whisker", ": the value, and what measuring leaves open: 1.645 standard uncertainties (u) each way. Where its end just reaches a limit, the value is inside with 95 %. Across a bracket: borderline")}
          {row(r("leaf", { leaf: [5, 5.5] }), "leaf", ": go / no-go, the value lies between two feelers")}
          {row(r("witness", { was: 5.6 }), "witness", ": handed over, or the reading before")}
          {row(r("moved", { was: 5.6, value: 4.8, moved: "yes" }), "moved, solid", ": more than measuring explains")}
          {row(r("moved", { was: 5.6, value: 5.3, moved: "no" }), "moved, dotted", ": could be measuring")}
        </tbody>
      </table>
    </>
  );
}

function Lines() {
  const u = (v: number, s: number) => [v - 1.645 * s, v + 1.645 * s] as const;
  return (
    <>
      <h2>One line each</h2>
      <ul class="qs">
        <QuantityLine name="Guide pulley gap" shown="5.2" unit="mm" verdict="inside" caption="two limits" scale={GAP} value={5.2} whisker={u(5.2, 0.2)} />
        <QuantityLine name="Hanger deviation" shown="1.2" unit="mm" verdict="inside" caption="one limit, above; whisker not even" scale={BEND} value={1.2} whisker={[0, 1.9]} />
        <QuantityLine name="Pad thickness" shown="0.95" unit="mm" verdict="borderline" caption="one limit, below" scale={PADS} value={0.95} whisker={u(0.95, 0.1)} />
        <QuantityLine name="Cage height" shown="0.5" unit="mm" verdict="outside" caption="outside, below" scale={HEIGHT} value={0.5} whisker={u(0.5, 0.15)} />
        <QuantityLine name="Hanger deviation" shown="4.4" unit="mm" verdict="outside" caption="off the rule" scale={BEND} value={4.4} whisker={[3.6, 5.1]} />
        <QuantityLine name="Rear fine position" shown="+1" unit="steps" verdict="none" caption="was +3" scale={TRIM} value={1} was={3} moved="yes" />
        <QuantityLine name="Battery, rear" shown="75" unit="%" verdict="borderline" caption="a fullest value" scale={BATTERY} value={75} whisker={u(75, 5)} />
        <QuantityLine name="Lever reach, left" shown="182" unit="mm" verdict="none" caption="no band, nothing to compare" scale={REACH} value={182} />
      </ul>
      <ul class="qs now mt">
        <QuantityLine name="Cage alignment" shown="+0.8" unit="mm" typed verdict="outside" caption="was +1.1, ±0.25" value={0.8} whisker={u(0.8, 0.15)} was={1.1}
          scale={scaleOf({ ...mm, lower: -0.5, upper: 0.5, signed: true, plausible: [-20, 20] })} />
      </ul>
    </>
  );
}

function Type() {
  const sizes = [["--f6", 36, "+0.8"], ["--f5", 32, "5–5.5"], ["--f4", 20, "Gap and cage"], ["--f3", 17, "Guide pulley gap"], ["--f2", 15, "Levers, checks and the ride can go on."], ["--f1", 13, "4.5 6 was 5.4"]] as const;
  const spaces = [["g1", 4], ["g2", 8], ["g3", 12], ["g4", 16], ["g6", 24], ["target", 44], ["primary", 64]] as const;
  return (
    <>
      <h2>Type</h2>
      <table><tbody>{sizes.map(([name, px, text]) => <tr><td class="xs">{name} {px}</td><td style={{ fontSize: `var(${name})` }}>{text}</td></tr>)}</tbody></table>
      <h2>Space and targets, px</h2>
      <table><tbody>{spaces.map(([name, px]) => <tr><td class="xs">{name} {px}</td><td><svg width={px + 2} height="12" aria-hidden="true"><path class="wsk" d={`M1 2V10M1 6H${px + 1}M${px + 1} 2V10`} /></svg></td></tr>)}</tbody></table>
      <h2>Ride</h2>
      <RideRule now={23} stops={[{ minutes: 4, label: "none" }, { minutes: 11, label: "1 in" }, { minutes: 18, label: "marked" }]} />
      <h2>Noise in ten turns</h2>
      <Turns n={10} label="10 in ten turns" marks={[{ at: 3, label: "chain" }, { at: 10, label: "crank" }, { at: 19.4, label: "wheel" }, { at: 20, label: "strokes" }]} />
      <h2>Clock face</h2>
      <Dial label="Clock face, tilted" limit={2} tilt={{ mean: 8.9, a: 1.35, b: 0.3, u: 0.3, determined: true }}
        tips={[{ clock: 12, gap: 10.2 }, { clock: 3, gap: 9.3 }, { clock: 6, gap: 7.5 }, { clock: 9, gap: 8.7 }]} />
    </>
  );
}

const COLOURS = [
  ["ground", "ground"], ["plate", "touch planes, rule bodies"], ["sunk", "pressed"], ["ink", "values, text"], ["soft", "captions"], ["scribe", "graduations, borders"],
  ["hair", "limit lines, rows: no meaning"], ["blue", "marking-out, the line in hand"], ["mark", "index, witness, moved"], ["brass", "borderline"], ["oxide", "outside"],
] as const;

function Swatches({ title }: { title: string }) {
  const [values, setValues] = useState<Record<string, string>>({});
  const read = (el: HTMLElement | null) => {
    if (!el || values["ground"]) return;
    const style = getComputedStyle(el);
    setValues(Object.fromEntries(COLOURS.map(([name]) => [name, style.getPropertyValue(`--${name}`).trim()])));
  };
  const against = (name: string) => {
    const [own, ground, ink] = [values[name], values["ground"], values["ink"]];
    if (!own || !ground || !ink) return "";
    if (["ground", "plate", "sunk"].includes(name)) return `ink ${num(contrast(own, ink), 1)}`;
    return name === "hair" ? "–" : name === "blue" ? `white ${num(contrast(own, "#fff"), 1)}` : num(contrast(own, ground), 1);
  };
  return (
    <div ref={read}>
      <h2>{title}</h2>
      <table><tbody>{COLOURS.map(([name, use]) => <tr><td><div class="sw" style={{ background: `var(--${name})` }} /></td><td>{name}: {use}</td><td class="r">{against(name)}</td></tr>)}</tbody></table>
    </div>
  );
}

function Touch({ id }: { id: string }) {
  const [text, setText] = useState("");
  const [gear, setGear] = useState<{ ring: number | null; cog: number | null }>({ ring: 33, cog: 17 });
  return (
    <>
      <h2>Verdicts</h2>
      <p class="leaves"><Verdict word="inside" /><Verdict word="borderline" /><Verdict word="borderline" low /><Verdict word="outside" /><Verdict word="outside" low /><Verdict word="none" /></p>
      <h2>Touch</h2>
      <div class="leaves"><button type="button" class="big go">Keep</button><button type="button" class="big">Measure again</button><button type="button" class="big flat">Nothing needed</button><button type="button">Plane, 44</button></div>
      <div class="leaves mt"><Leaf on onPick={() => undefined}>chosen</Leaf><Leaf on={false} onPick={() => undefined}>not chosen</Leaf></div>
      <input class="fld mt" placeholder="Label, frame, serial" aria-label={`A field, ${id}`} />
      <div class="mt"><Pad text={text} onText={setText} onKeep={() => setText("")} step={0.1} signed quiet /></div>
      <p class="s">Typed: {text || "nothing"}</p>
      <h2>Plan</h2>
      <PlanRule steps={PLAN} />
      <p class="lg"><span><StepGlyph mark="done" />done</span><span><StepGlyph mark="now" />in hand</span><span><StepGlyph mark="todo" />ready, waiting</span><span><StepGlyph mark="held" />held</span></p>
      <h2>Stages</h2>
      <p class="lg"><span><StageGlyph stage="found" />found</span><span><StageGlyph stage="bench" />bench</span><span><StageGlyph stage="road" />road</span><span><WitnessGlyph />handed over</span></p>
      <h2>Turned</h2>
      <div class="tl3"><button type="button" class="flat">1 more<br />outboard</button><Tally n={2} words="rear: 2 inboard" ends={["out", "in"]} /><button type="button" class="flat">1 more<br />inboard</button></div>
      <GearStrip rings={[46, 33]} cogs={[10, 11, 12, 13, 14, 15, 17, 19, 21, 24, 28, 36]} {...gear} onGear={(ring, cog) => setGear({ ring, cog })} />
      <h2>Pencilled and scribed</h2>
      <p class="row"><span class="pencil">4 not yet confirmed</span><span class="s">all confirmed</span></p>
      <h2>Notes and states</h2>
      <p class="note dashed"><b>No signal.</b> 7 entries not yet confirmed, all are kept on this phone.</p>
      <p class="note">Two corrections of one reading. Both are kept: choose one.</p>
      <p class="note stop"><b>The ride is blocked.</b> Failed: brakes bite and hold. Pass it first.</p>
    </>
  );
}
