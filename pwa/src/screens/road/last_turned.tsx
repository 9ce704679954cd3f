import { scaleOf } from "../../look/geometry";
import { num, time } from "../../look/number";
import { QuantityLine } from "../../look/quantity_line";
import type { EntryOf } from "../../nouns";
import { turnedWords, unitLabel } from "../entry_words";
import { quantityState, type Work } from "../work";

/** Where the last turning has brought its setting, against where it was before. */
export function LastTurned({ work, entry }: { work: Work; entry: EntryOf<"adjustment"> }) {
  const adjuster = work.cat.adjusters.find((a) => a.id === entry.data.adjuster);
  const link = adjuster?.adds_to?.[0];
  const quantity = link && work.cat.quantities.find((q) => q.id === link.quantity);
  const words = turnedWords(work.cat, entry.data.adjuster, entry.data.amount, entry.data.unit);
  const state = quantity && quantityState(work, quantity);
  const told = <p class="s tall mt">Last turned, {time(entry.taken_at)}: <b>{adjuster?.short ?? adjuster?.label} {words}</b>.</p>;
  if (!state || state.value === null || !link) return told;
  const was = state.value - entry.data.amount * link.factor;
  const unit = unitLabel(work.cat, quantity.unit);
  const n = (v: number) => num(v, quantity.digits, quantity.signed);
  const scale = scaleOf({
    reference: state.readingValue, span: quantity.span, plausible: quantity.plausible, minor: quantity.minor, major: quantity.major,
    signed: quantity.signed, setting: true, ends: state.ends ?? [adjuster!.negative, adjuster!.positive],
  });
  return (
    <ul class="qs free mt tall">
      <QuantityLine name={`Last turned, ${adjuster!.short ?? adjuster!.label}`} verdict={null} aside={time(entry.taken_at)} shown={n(state.value)} unit={unit}
        caption={`was ${n(was)}`} scale={scale} value={state.value} was={was} moved="yes" spoken={`${quantity.label} ${n(state.value)} ${unit}, was ${n(was)}`} />
    </ul>
  );
}
