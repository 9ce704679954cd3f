/** An entry of the contract as the computing takes it: in the catalogue's units, times in seconds. */
import { toUnit, type Catalogue } from "../catalogue";
import type { AdjusterEffect, DomainEntry } from "../domain/handed_over";
import { fit, type HangerFit } from "../domain/hanger";
import type { LoggedEntry } from "../book";
import type { Bike, Entry, EntryOf, Tip } from "../nouns";
import { tryTorqueAt } from "./torque_value";

const DEFAULT_RADIUS_MM = 311;

export function adjustersOf(cat: Catalogue): Map<string, AdjusterEffect> {
  return new Map(cat.adjusters.map((a) => [a.id, {
    id: a.id, adds_to: Object.fromEntries(a.adds_to.map((x) => [x.quantity, x.factor])), makes_stale: a.makes_stale,
  }]));
}

/** Null for what the computing has no use for, or cannot read: a newer catalogue's ids. */
export function domainEntry(cat: Catalogue, logged: LoggedEntry, bike: Pick<Bike, "wheel">): DomainEntry | null {
  const e = logged.entry;
  const head: DomainEntry = {
    id: e.id, kind: e.kind, stage: e.stage, taken_at: Date.parse(e.taken_at) / 1000, device_seq: e.device_seq, seq: logged.seq ?? null,
    replaces: e.replaces ?? null, gear: e.gear ? [e.gear.ring, e.gear.cog] : null,
  };
  switch (e.kind) {
    case "reading": {
      const read = reading(cat, e, bike);
      return read && { ...head, ...read };
    }
    case "adjustment": {
      const a = cat.adjusters.find((x) => x.id === e.data.adjuster);
      return a ? { ...head, adjuster: a.id, amount: a.id === "none" ? 0 : toUnit(cat, e.data.amount, e.data.unit, a.unit) } : null;
    }
    case "torque":
      return { ...head, fastener: e.data.fastener, holds: tryTorqueAt(cat, e.data, e.gauge_id)?.holds ?? true };
    case "check":
      return { ...head, check: e.data.check, outcome: e.data.outcome };
    default:
      return head;
  }
}

function reading(cat: Catalogue, e: EntryOf<"reading">, bike: Pick<Bike, "wheel">): Partial<DomainEntry> | null {
  const q = cat.quantities.find((x) => x.id === e.data.quantity);
  if (!q) return null;
  if ("tips" in e.data) {
    const found = tryFit(e.data.tips, e.data.radius_mm ?? radiusOf(bike), q.u);
    return found?.deviation_mm == null ? null : { quantity: q.id, value: found.deviation_mm, u: found.u_deviation_mm };
  }
  if ("low" in e.data) {
    const [low, high] = [toUnit(cat, e.data.low, e.data.unit, q.unit), toUnit(cat, e.data.high, e.data.unit, q.unit)];
    // The value of a go / no-go pair is its middle, its u that of a rectangle (JCGM 100:2008, 4.3.7).
    return { quantity: q.id, value: (low + high) / 2, u: (high - low) / Math.sqrt(12), low, high };
  }
  return { quantity: q.id, value: toUnit(cat, e.data.value, e.data.unit, q.unit), u: q.u };
}

/** Radius at which the gauge's tip touches: half the bead seat diameter where it is known. */
export function radiusOf(bike: Pick<Bike, "wheel">): number {
  return bike.wheel?.bead_seat_mm ? bike.wheel.bead_seat_mm / 2 : DEFAULT_RADIUS_MM;
}

/** The fit, or null where the tips do not suffice yet. */
export function tryFit(tips: readonly Tip[], radius: number, u: number): HangerFit | null {
  try {
    return fit([...tips], radius, u);
  } catch {
    return null;
  }
}

export function tipsOf(entries: readonly Entry[], id: string | null): readonly Tip[] | null {
  const e = entries.find((x): x is EntryOf<"reading"> => x.id === id && x.kind === "reading");
  return e && "tips" in e.data ? e.data.tips : null;
}
