/** What the service would reject as a slip, said before it is kept; by the catalogue's own limits. */
import type { Catalogue, Quantity } from "../catalogue";
import { num } from "../look/number";
import { unitLabel } from "./entry_words";

/** Why a value cannot be kept, in words; null: it can. */
export function implausible(cat: Catalogue, q: Quantity, value: number): string | null {
  const [low, high] = q.plausible;
  if (value < low || value > high) return `${q.label} lies between ${num(low)} and ${num(high)} ${unitLabel(cat, q.unit)}: is the point in its place?`;
  return q.whole && !Number.isInteger(value) ? `${q.label} is counted: a whole number, not ${num(value)}.` : null;
}

/** In N·m; an older service does not say. */
export const largestTorque = (cat: Catalogue): number | undefined => cat.limits?.find((limit) => limit.id === "torque")?.highest;

/** Why so much cannot have been turned, in words; `amount` in the adjuster's own unit. */
export function absurdTurn(cat: Catalogue, amount: number, unit: string): string | null {
  const most = cat.limits?.find((limit) => limit.id === "adjustment")?.highest;
  return most !== undefined && Math.abs(amount) > most ? `Nobody turns it this far at one stop: at most ${num(most)} ${unitLabel(cat, unit)} either way.` : null;
}

/** Why such a torque, in N·m, cannot be kept. */
export function absurdTorque(cat: Catalogue, nm: number): string | null {
  const most = largestTorque(cat);
  return most !== undefined && nm > most ? `No fastener of a bike takes more than ${num(most)} N·m: is the point in its place?` : null;
}
