import { useEffect } from "preact/hooks";
import type { ComponentChildren } from "preact";
import type { Fastener } from "../../catalogue";
import { num } from "../../look/number";
import { QuantityLine } from "../../look/quantity_line";
import { limitsOf, NM, notJudged, targetWords, torqueScale, tryTorqueAt } from "../torque_value";
import { torqueOf, type Work } from "../work";
import { fetchWrenches } from "../wrenches";

/** A fastener of a step: its target, and what reached it. */
export function TorqueLine({ work, fastener, onTake, children }: { work: Work; fastener: Fastener; onTake: () => void; children?: ComponentChildren }) {
  const entry = torqueOf(work, fastener.id);
  useEffect(() => void fetchWrenches(work.cat), []);
  if (fastener.lower == null) return <li class="li"><b>{fastener.label}</b> <span class="s">{fastener.note}</span></li>;
  const at = entry && tryTorqueAt(work.cat, entry.data, entry.gauge_id);
  const limits = entry ? limitsOf(work.cat, entry.data, fastener) : fastener;
  const target = `target ${targetWords(limits)}${limits === fastener ? "" : ", the maker's"}`;
  const shown = entry && (entry.data.adapter_mm || entry.data.unit !== NM) ? `, wrench ${num(entry.data.applied, 1)} ${entry.data.unit}` : "";
  return (
    <QuantityLine name={fastener.label} shown={at ? num(at.value_nm, 1) : "–"} unit={NM} verdict={at?.verdict ?? null} {...notJudged(at)} caption={target + shown}
      scale={torqueScale(limits)} value={at?.value_nm ?? null} whisker={at?.spread_nm ?? null} onTake={onTake} spoken={`${target} ${NM}`}>
      {at?.refused && <p class="x">{at.refused}</p>}
      {fastener.note && <p class="x">{fastener.note}</p>}
      {children}
    </QuantityLine>
  );
}
