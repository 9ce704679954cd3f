/** The shop's torque wrenches, retired ones too, as last heard, and the one this phone is used with; kept so that none has to be named again. */
import { signal } from "@preact/signals";
import { api } from "../book";
import { toUnit, type Catalogue } from "../catalogue";
import type { components } from "../contract";
import type { Wrench } from "../domain/torque";
import { remember, remembered } from "./remembered";

export type Gauge = components["schemas"]["GaugeShown"];

const NM = "N·m";
export const wrenches = signal<Gauge[]>(remembered("wrenches") ?? []);
/** The gauge in use; null: none of those in the book. */
export const wrenchInUse = signal<string | null>(remembered("wrench_in_use"));

let asked = false;

/** Asks for them once, while there is a signal; `anew`: whatever was heard before. */
export async function fetchWrenches(cat: Catalogue, anew = false): Promise<void> {
  if (asked && !anew) return;
  asked = true;
  try {
    const { gauges } = await api.get<{ gauges: Gauge[] }>("/gauges");
    wrenches.value = gauges.filter((g) => cat.units.find((u) => u.id === g.unit)?.dimension === "torque");
    remember("wrenches", wrenches.value);
  } catch {
    asked = false;
  }
}

export function takeWrench(id: string | null): void {
  wrenchInUse.value = id;
  remember("wrench_in_use", id);
}

/** The one in use, unless the shop has retired it since. */
export const wrenchAtHand = (): Gauge | undefined => wrenches.value.find((g) => g.id === wrenchInUse.value && !g.retired);

export const gaugeOf = (id: string | null | undefined): Gauge | undefined => wrenches.value.find((g) => g.id === id);

/** Its range, tolerance and uncertainty in N·m, as the service takes them from its gauge. */
export function wrenchOf(cat: Catalogue, gauge: Gauge | undefined): Wrench {
  if (!gauge) return {};
  const nm = (value: number | null | undefined) => (value == null ? undefined : toUnit(cat, value, gauge.unit, NM));
  const expanded = nm(gauge.expanded_uncertainty);
  return {
    max_nm: nm(gauge.highest), min_nm: nm(gauge.lowest), tolerance_percent: gauge.tolerance_percent ?? undefined,
    u_nm: expanded === undefined ? undefined : expanded / gauge.coverage_factor,
  };
}
