import type { ComponentChildren } from "preact";
import { num } from "./number";
import { Rule, type RuleProps } from "./rule";
import { isLow, Verdict, type VerdictWord } from "./verdict";

export interface LineProps extends Omit<RuleProps, "label"> {
  name: string;
  /** The value as it is read, without its unit. */
  shown: string;
  unit: string;
  verdict: VerdictWord | null;
  verdictText?: string;
  /** Beside the name, where there is no verdict. */
  aside?: ComponentChildren;
  caption?: ComponentChildren;
  /** Said instead of the caption to those who cannot see the rule. */
  spoken?: string;
  children?: ComponentChildren;
  hand?: boolean;
  typed?: boolean;
  onTake?: () => void;
}

/** One quantity, one line: name and verdict, value and unit, rule. */
export function QuantityLine(p: LineProps) {
  const at = p.value ?? (p.leaf ? (p.leaf[0] + p.leaf[1]) / 2 : null);
  const low = at !== null && isLow(at, p.scale.lower, p.scale.upper);
  const body = (
    <>
      <span class="n">
        <b>{p.name}</b>
        {p.verdict ? <Verdict word={p.verdict} low={low} text={p.verdictText} /> : p.aside}
      </span>
      <span class={`val ${p.shown === "–" ? "blank" : room(p)} ${p.typed ? "dk" : ""}`}>
        {p.shown}{p.typed && <span class="caret" />}<i>{p.unit}</i><small>{p.caption}</small>
      </span>
      <Rule {...p} label={p.spoken ?? spokenRule(p)} />
    </>
  );
  return (
    <li class="q-li">
      {p.onTake
        ? <button type="button" class="take q" onClick={p.onTake}>{body}</button>
        : <div class="q">{body}</div>}
      {p.children}
    </li>
  );
}

/** Smaller the longer it is, with its unit: neither may run into the rule. Digits are a little over half an em wide. */
function room({ shown, unit, typed }: Pick<LineProps, "shown" | "unit" | "typed">): string {
  const wide = (em: number) => shown.replace(/[.,−–]/g, "").length * em * 0.56 + shown.replace(/[^.,−–]/g, "").length * em * 0.35 + 4 + unit.length * 8.5;
  return wide(typed ? 36 : 32) <= 117 ? "" : wide(24) <= 117 ? "long" : "vast";
}

/** What the drawing says, in words. */
export function spokenRule(p: Pick<LineProps, "scale" | "unit" | "was">): string {
  const { lower, upper, signed } = p.scale;
  const n = (v: number) => num(v, 3, signed);
  const band = lower !== null && upper !== null ? `band ${n(lower)} to ${n(upper)} ${p.unit}`
    : upper !== null ? `band up to ${n(upper)} ${p.unit}`
    : lower !== null ? `band from ${n(lower)} ${p.unit}` : "no band";
  return p.was != null ? `${band}, before ${n(p.was)}` : band;
}
