/** One quantity of one bike over time: as the service works it out, or what this phone holds of it. */
import { api, entriesOfBike } from "../../book";
import { judge, judgeInterval } from "../../domain/conformity";
import { standing } from "../../domain/handed_over";
import { judgeDeviation } from "../../domain/hanger";
import type { VerdictWord } from "../../look/verdict";
import type { Gear, Stage } from "../../nouns";
import { domainEntry, radiusOf, tipsOf, tryFit } from "../domain_entry";
import type { QuantityState, Work } from "../work";

export interface Point {
  entry_id: string;
  job_id: string;
  stage: Stage;
  taken_at: string;
  odometer_km: number | null;
  value: number;
  u: number;
  verdict: VerdictWord;
}

export interface Series {
  quantity: string;
  unit: string;
  stage: Stage | null;
  gear: Gear | null;
  points: Point[];
  baseline: { value: number | null; u?: number | null } | number | null;
  latest: Point | null;
  change: { delta: number; u: number; real: boolean } | null;
  slope: { per: string; value: number; low: number; high: number; confidence: number; p: number } | null;
  forecast: { leaves_at: number | string; low: number | string; high: number | string | null } | null;
  step: { at: number | string; size: number } | null;
  /** What slope and forecast are of, where not all readings are used or days stand for kilometres. */
  note?: string | null;
  why_not?: Partial<Record<"baseline" | "change" | "slope" | "forecast" | "step" | "latest", string>>;
}

/** From the service; throws Problem where there is no signal. */
export async function fetchSeries(bikeId: string, quantity: string, gear: Gear | null): Promise<Series[]> {
  const query = new URLSearchParams({ quantity, ...(gear ? { ring: String(gear.ring), cog: String(gear.cog) } : {}) });
  return (await api.get<{ series: Series[] }>(`/bikes/${bikeId}/trend?${query}`)).series;
}

/** What this phone holds: points with their verdicts, without slope and forecast. */
export function localSeries(work: Work, q: QuantityState): Series[] {
  const all = entriesOfBike(work.bike.id).value.filter((e) => e.state !== "set_aside");
  const points = new Map<Stage, Point[]>();
  const byId = new Map(all.map((e) => [e.entry.id, e.entry]));
  const inDomain = all.map((e) => domainEntry(work.cat, e, work.bike)).filter((e) => e !== null);
  for (const e of standing(inDomain)) {
    const entry = byId.get(e.id)!;
    if (e.kind !== "reading" || e.quantity !== q.quantity.id || e.value == null) continue;
    if (q.gear ? e.gear?.[0] !== q.gear.ring || e.gear[1] !== q.gear.cog : e.gear) continue;
    const list = points.get(entry.stage) ?? [];
    list.push({
      entry_id: e.id, job_id: entry.job_id, stage: entry.stage, taken_at: entry.taken_at, odometer_km: entry.odometer_km ?? null,
      value: e.value, u: e.u ?? 0, verdict: verdict(work, q, e.id, { ...e, value: e.value }),
    });
    points.set(entry.stage, list);
  }
  return [...points].map(([stage, list]) => ({
    quantity: q.quantity.id, unit: q.quantity.unit, stage, gear: q.gear, points: list, baseline: q.baseline === null ? null : { value: q.baseline },
    latest: list[list.length - 1] ?? null, change: null, slope: null, forecast: null, step: null,
  }));
}

function verdict(work: Work, q: QuantityState, id: string, e: { value: number; u?: number | null; low?: number | null; high?: number | null }): VerdictWord {
  const entries = entriesOfBike(work.bike.id).value.map((x) => x.entry);
  const tips = q.quantity.input === "hanger" ? tipsOf(entries, id) : null;
  const fit = tips && tryFit(tips, radiusOf(work.bike), q.quantity.u);
  if (fit) return judgeDeviation(fit, q.band).verdict;
  return (e.low != null && e.high != null ? judgeInterval(e.low, e.high, q.band) : judge(e.value, e.u ?? 0, q.band)).verdict;
}

export const baselineValue = (s: Series | undefined): number | null => (s?.baseline == null ? null : typeof s.baseline === "number" ? s.baseline : s.baseline.value);
