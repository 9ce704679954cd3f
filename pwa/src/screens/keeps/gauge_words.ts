/** A gauge in words: what it measures, how well, and whether its calibration holds. */
import type { Catalogue } from "../../catalogue";
import type { components } from "../../contract";
import { date, num } from "../../look/number";
import { unitLabel } from "../entry_words";

export type Gauge = components["schemas"]["GaugeShown"];
export type GaugeDraft = Omit<Gauge, "overdue">;

/** Kinds of gauges, told by what they measure. */
export const KINDS = [
  { id: "length", label: "lengths and gaps", unit: "mm" },
  { id: "torque", label: "torque wrench", unit: "N·m" },
  { id: "pressure", label: "pressure", unit: "kPa" },
  { id: "angle", label: "angles", unit: "°" },
  { id: "other", label: "something else", unit: "%" },
] as const;

export function kindOf(cat: Catalogue, unit: string): string {
  const dimension = cat.units.find((u) => u.id === unit)?.dimension ?? "other";
  return KINDS.some((k) => k.id === dimension) ? dimension : "other";
}

/** Units that a gauge of this kind can have. */
export const unitsOf = (cat: Catalogue, kind: string): { id: string; label: string }[] => cat.units.filter((u) => kindOf(cat, u.id) === kind);

export function rangeWords(g: GaugeDraft, unit: string): string {
  const [low, high] = [g.lowest ?? null, g.highest ?? null];
  if (low !== null && high !== null) return `${num(low)} to ${num(high)} ${unit}`;
  if (high !== null) return `up to ${num(high)} ${unit}`;
  return low === null ? unit : `from ${num(low)} ${unit}`;
}

/** What one reading with it leaves open. */
export function accuracyWords(cat: Catalogue, g: GaugeDraft): string {
  const unit = unitLabel(cat, g.unit);
  const torque = kindOf(cat, g.unit) === "torque";
  if (torque && g.tolerance_percent != null) return `±${num(g.tolerance_percent)} % of what it shows`;
  if (g.expanded_uncertainty != null) return `u ${num(g.expanded_uncertainty / (g.coverage_factor ?? 2), 4)} ${unit}, from its certificate`;
  return torque ? "±4 % above 10 N·m, ±6 % up to it, by ISO 6789:2003, type II class A" : "u as the quantity has it: no certificate";
}

export type Due = "overdue" | "soon" | "holds" | "unknown";
const SOON_DAYS = 30;

export function dueOf(g: Gauge, now: Date): Due {
  if (g.overdue) return "overdue";
  if (!g.due) return "unknown";
  return Date.parse(g.due) - now.getTime() < SOON_DAYS * 86_400_000 ? "soon" : "holds";
}

export function dueWords(g: Gauge, now: Date): string {
  const checked = g.calibrated_at ? `checked ${date(g.calibrated_at, now)}` : "";
  if (!g.due) return [checked, "no date when it is due"].filter(Boolean).join(", ");
  return [checked, `due ${date(g.due, now)}`].filter(Boolean).join(", ");
}

/** Those whose calibration ran out first, then by the day they are due; what is out of use last. */
export function inOrder(gauges: readonly Gauge[]): Gauge[] {
  const rank = (g: Gauge) => (g.retired ? 2 : g.overdue ? 0 : 1);
  return [...gauges].sort((a, b) => rank(a) - rank(b) || (a.due ?? "9").localeCompare(b.due ?? "9") || a.name.localeCompare(b.name));
}
