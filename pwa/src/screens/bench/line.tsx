import { GUARD, scaleOf, type Scale } from "../../look/geometry";
import { num } from "../../look/number";
import { QuantityLine } from "../../look/quantity_line";
import { whiskerOf } from "../work";
import type { QuantityState, Work } from "../work";
import { unitLabel } from "../entry_words";

/** The rule of a quantity on this bike: its band, or the value to compare with. */
export function scaleFor(q: QuantityState): Scale {
  return scaleOf({
    lower: q.band?.lower, upper: q.band?.upper, reference: q.baseline, span: q.quantity.span, plausible: q.quantity.plausible,
    minor: q.quantity.minor, major: q.quantity.major, signed: q.quantity.signed, zero: q.quantity.zero, setting: q.quantity.setting,
    full: q.quantity.full, ends: q.ends,
  });
}

/** A value as it was read; a computed one in the quantity's own digits. */
export function shownValue(q: QuantityState, v: number): string {
  return num(v, q.quantity.input === "hanger" ? q.quantity.digits : Math.max(q.quantity.digits, 2), q.quantity.signed);
}

/** Why a value has nothing to be judged by on this bike, and what it is for; empty: it has. */
export function noBandWords({ quantity: q, band, baseline }: QuantityState): string {
  if (band) return "";
  if (q.band_from) return "No band yet: it follows from the bike's rings, cogs and chainstay length. Add them to its facts.";
  const use = baseline === null ? "It is kept to compare next time" : "Compare it with what the bike left with";
  return q.setting ? `No band: each bike has its own. ${use}.` : `No band for this bike. ${use}; the shop can set one under Workshop, Bands.`;
}

/** A quantity of a step as it stands: read, adjusted since, or not read yet. */
export function BenchLine({ work, state: q, onTake, children }: { work: Work; state: QuantityState; onTake: () => void; children?: preact.ComponentChildren }) {
  const unit = unitLabel(work.cat, q.quantity.unit);
  const n = (v: number) => shownValue(q, v);
  const gear = q.gear ? `, cog ${q.gear.cog}` : "";
  const leaf = q.low !== null && q.high !== null ? ([q.low, q.high] as const) : null;
  const known = q.value !== null;
  const before = q.baseline !== null ? `handed over ${n(q.baseline)}` : "";
  const caption = q.stale ? `was ${n(q.readingValue!)}, adjusted since`
    : leaf ? `${num(leaf[0])} goes, ${num(leaf[1])} not`
    : known ? [!q.band && !before ? "kept to compare next time" : "", q.fit?.deviation_interval_mm ? q.fit.deviation_interval_mm.map(n).join(" to ") : q.u ? `±${num(GUARD * q.u, 2)}` : "", q.fit?.agrees === false ? "the readings disagree: measure again" : "", q.stepsAdded ? `read ${n(q.readingValue!)}, turned ${n(q.stepsAdded)}` : "", before].filter(Boolean).join(", ")
    : [q.band?.target != null ? `target ${n(q.band.target)}` : "", before].filter(Boolean).join(", ") || "not read yet";
  return (
    <QuantityLine
      name={`${q.quantity.label}${gear}`} unit={unit} shown={leaf ? `${num(leaf[0])}–${num(leaf[1])}` : known ? n(q.value!) : "–"}
      verdict={known ? q.verdict : null} caption={caption} scale={scaleFor(q)} value={leaf ? null : q.value} leaf={leaf}
      whisker={known && !leaf ? whiskerOf(q) : null} was={q.baseline} onTake={onTake}
      spoken={`${q.quantity.how}`}>
      {children}
    </QuantityLine>
  );
}
