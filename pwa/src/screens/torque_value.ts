/** What a torque entry means at its fastener: the wrench shows it, an adapter changes it, its tolerance leaves it open. */
import { toUnit, type Catalogue, type Fastener } from "../catalogue";
import type { Verdict } from "../domain/conformity";
import { atFastener, bandAround, judgeTorque, refusal, spread, type Adapter, type Wrench } from "../domain/torque";
import { scaleOf, type Scale } from "../look/geometry";
import { num } from "../look/number";
import type { EntryData } from "../nouns";
import { gaugeOf, wrenchOf } from "./wrenches";

export const NM = "N·m";

export type TorqueLimits = Pick<Fastener, "lower" | "upper">;

export interface AtFastener {
  value_nm: number;
  shown_nm: number;
  /** Between what and what the wrench's tolerance leaves it; null outside its range. */
  spread_nm: [number, number] | null;
  verdict: Verdict;
  /** Why the wrench cannot be judged by. */
  refused: string | null;
  /** Neither outside its band nor beyond what its wrench can vouch for. */
  holds: boolean;
}

/** Throws CannotCompute where the adapter's arm is not known. `gauge`: what is known of the wrench besides its length. */
export function torqueAt(cat: Catalogue, data: Omit<EntryData["torque"], "fastener">, limits: TorqueLimits, gauge: Wrench = {}): AtFastener {
  const wrench: Wrench = { ...gauge, length_mm: data.wrench_mm };
  const adapter: Adapter | null = data.adapter_mm ? { length_mm: data.adapter_mm, angle_deg: data.angle_deg } : null;
  const shown = toUnit(cat, data.applied, data.unit, NM);
  const value = atFastener(shown, wrench, adapter);
  const refused = refusal(wrench, shown);
  const { verdict } = judgeTorque(value, limitsOf(cat, data, limits), wrench, shown);
  return {
    value_nm: value, shown_nm: shown, spread_nm: spread(value, wrench, shown), refused, verdict,
    holds: !refused && verdict !== "outside",
  };
}

/** The same, or null where it cannot be told: a newer phone's unit, an adapter without the wrench's length. */
export function tryTorqueAt(cat: Catalogue, data: EntryData["torque"], gaugeId: string | undefined): AtFastener | null {
  try {
    return torqueAt(cat, data, cat.fasteners.find((f) => f.id === data.fastener) ?? {}, wrenchOf(cat, gaugeOf(gaugeId)));
  } catch {
    return null;
  }
}

/** In place of its verdict, where there is a band and the wrench cannot vouch for what it showed. */
export const notJudged = (at: AtFastener | null | undefined) => (at?.refused && at.verdict === "none" ? { verdictText: "cannot be judged" } : {});

/** The maker's figure, where the entry carries it, comes before the catalogue's. */
export function limitsOf(cat: Catalogue, data: Pick<EntryData["torque"], "target" | "unit">, limits: TorqueLimits): TorqueLimits {
  if (data.target === undefined) return limits;
  const nm = toUnit(cat, data.target, data.unit, NM);
  return { lower: nm, upper: nm };
}

/** A target given as one figure has its own band. */
export function bandOf(f: TorqueLimits): { lower: number | null; upper: number | null } {
  if (f.lower != null && f.lower === f.upper) return bandAround(f.lower) as { lower: number; upper: number };
  return { lower: f.lower ?? null, upper: f.upper ?? null };
}

export function torqueScale(f: TorqueLimits): Scale {
  const most = f.upper ?? 10;
  const minor = most > 20 ? 1 : 0.2;
  return scaleOf({ ...bandOf(f), span: most * 0.4, plausible: [0, 100], minor, major: minor * 5 });
}

export const targetWords = (f: TorqueLimits): string =>
  f.lower == null || f.upper == null ? "no figure" : f.lower === f.upper ? num(f.lower) : `${num(f.lower)} to ${num(f.upper)}`;
