import { render } from "preact-render-to-string";
import { describe, expect, it } from "vitest";
import { Dial } from "../../src/look/dial";
import { GearStrip } from "../../src/look/gear_strip";
import { scaleOf } from "../../src/look/geometry";
import { PlanRule, spokenPlan } from "../../src/look/plan_rule";
import { QuantityLine } from "../../src/look/quantity_line";
import { Rule } from "../../src/look/rule";
import { ShareRule } from "../../src/look/share_rule";
import { Tally } from "../../src/look/tally";
import { TapRule } from "../../src/look/tap_rule";
import { Turns } from "../../src/look/turns";
import { isLow, Verdict } from "../../src/look/verdict";

const gap = scaleOf({ lower: 4.5, upper: 6, plausible: [0, 60], minor: 0.1, major: 0.5 });
const bend = scaleOf({ upper: 2, plausible: [0, 60], minor: 0.1, major: 0.5, zero: true });
const count = (html: string, cls: string) => html.split(`class="${cls}"`).length - 1;

describe("the rule", () => {
  it("shows its limits and no other number", () => {
    const html = render(<Rule scale={gap} label="gap" value={5.2} whisker={[4.9, 5.5]} />);
    expect([...html.matchAll(/<text[^>]*>([^<]*)</g)].map((m) => m[1])).toEqual(["4.5", "6"]);
    expect(count(html, "tick")).toBe(1);
  });
  it("breaks the edge where the value is far out", () => {
    expect(count(render(<Rule scale={bend} label="bend" value={44} />), "gap")).toBe(1);
    expect(count(render(<Rule scale={bend} label="bend" value={1.9} />), "gap")).toBe(0);
  });
  it("a go / no-go reading is a leaf between two feelers, without tick and whisker", () => {
    const html = render(<Rule scale={gap} label="gap" value={5.25} leaf={[5, 5.5]} whisker={[5, 5.5]} />);
    expect([count(html, "leaf"), count(html, "lw"), count(html, "tick"), count(html, "wsk")]).toEqual([1, 2, 0, 0]);
  });
  it("a change that could be measuring is dotted", () => {
    expect(render(<Rule scale={gap} label="gap" value={5} was={5.4} moved="no" />)).toContain('class="mv no"');
    expect(render(<Rule scale={gap} label="gap" value={5} was={5.4} moved="yes" />)).toContain('class="mv yes"');
  });
});

describe("the verdict", () => {
  it.each(["inside", "borderline", "outside"] as const)("%s is a word and a shape", (word) => {
    const html = render(<Verdict word={word} />);
    expect(html).toContain(word);
    expect(html).toContain("<path");
  });
  it("no two verdicts share a shape", () => {
    const shapes = (["inside", "borderline", "outside", "none"] as const).map((w) => render(<Verdict word={w} text="" />).match(/ d="[^"]*"/g)!.join());
    expect(new Set(shapes).size).toBe(4);
  });
  it("faces the side the value is on", () => {
    expect([isLow(4.4, 4.5, 6), isLow(6.1, 4.5, 6), isLow(0.9, 1, null), isLow(2.2, null, 2)]).toEqual([true, false, true, false]);
    expect(render(<QuantityLine name="Gap" shown="4.4" unit="mm" verdict="borderline" scale={gap} value={4.4} />)).toContain("mk low");
  });
});

it("the plan says in words what it draws", () => {
  expect(spokenPlan(["done", "done", "now", "todo", "held"])).toBe("Plan: step 3 of 5, 2 done, 1 held");
  expect(render(<PlanRule steps={["done", "now", "held"]} />)).toContain("Plan: step 2 of 3, 1 done, 1 held");
});

it("outboard is left: rings and cogs lie as on the bike seen from behind", () => {
  const html = render(<GearStrip rings={[33, 46]} cogs={[36, 10, 17]} ring={33} cog={17} onGear={() => undefined} />);
  expect([...html.matchAll(/aria-label="(ring|cog) (\d+)"/g)].map((m) => m[2])).toEqual(["46", "33", "10", "17", "36"]);
  expect(html.indexOf("outboard</span>")).toBeLessThan(html.indexOf("inboard</span>"));
});

it("a tally counts strokes from zero, and more than it holds stands at its end", () => {
  expect(count(render(<Tally n={3} words="rear: 3 inboard" ends={["out", "in"]} />), "lw")).toBe(2);
  expect(count(render(<Tally n={-9} words="rear: 9 outboard" ends={["out", "in"]} />), "tick")).toBe(1);
});

it("words on the clock face stand on the side away from the lean", () => {
  const place = (a: number, b: number, word: string) => {
    const html = render(<Dial label="" limit={2} tilt={{ mean: 10, a, b, u: 0.3, determined: true }} tips={[]} />);
    return Number(new RegExp(`y="(-?[\\d.]+)"[^>]*>${word}<`).exec(html)?.[1]);
  };
  expect([place(2, 1, "band") > 0, place(-2, 1, "band") < 0, place(2, -1, "straight") > 0, place(-2, -1, "straight") < 0]).toEqual([true, true, true, true]);
});

it("a value is drawn smaller where it would run into its rule with its unit", () => {
  const scale = scaleOf({ lower: 1, upper: 2, plausible: [0, 10], minor: 0.1, major: 1 });
  const size = (shown: string, unit: string, typed = false) => /class="val ([^"]*)"/.exec(render(<QuantityLine name="" verdict={null} shown={shown} unit={unit} typed={typed} scale={scale} value={null} />))![1]!.trim();
  expect([size("1.4", "mm"), size("−0.125", "turn"), size("88888", "mm", true), size("888888888", "mm", true)]).toEqual(["", "long", "long dk", "vast dk"]);
});

it("the clock face keeps large bends on the face", () => {
  const html = render(<Dial label="" limit={2} tilt={{ mean: 10, a: 6, b: 0, u: 0.3, determined: true }} tips={[{ clock: 12, gap: 16 }, { clock: 6, gap: 4 }]} />);
  for (const [, r] of html.matchAll(/translate\(0 (-?[\d.]+)\)/g)) expect(Math.abs(Number(r))).toBeLessThanOrEqual(122);
});

it("a count of noises has its whisker of one each way", () => {
  const html = render(<Turns n={10} marks={[{ at: 10, label: "crank" }]} label="" top={20} />);
  expect(html).toContain('x1="45%" x2="55%"');
});

describe("what is worked out", () => {
  it("a chance stands on a rule in tens of percent, and is said in words", () => {
    const html = render(<ShareRule name="Wheel" share={0.25} />);
    expect(html).toContain('aria-label="Wheel: 25 %"');
    expect(html).toContain('x="25%"');
  });
  it("taps of the noise stand above the rule of seconds, those of the crank below; it grows by whole five seconds", () => {
    const html = render(<TapRule noise={[0, 500, 1000]} crank={[250, 5500]} label="taps" />);
    expect([count(html, "lw"), count(html, "wit")]).toEqual([3, 2]);
    expect(html).toContain(">10 s<");
  });
});
