/** Where something is worked out: for a bike's job, where it can be kept, or by itself. */
import type { Catalogue, Quantity, Step } from "../../catalogue";
import type { Drivetrain } from "../../nouns";
import { jobLink } from "../route";
import { quantityState, type QuantityState, type Work } from "../work";

export interface Place {
  cat: Catalogue;
  work: Work | null;
  /** The step it was opened from. */
  step: Step | null;
  /** A fastener, where the address names one. */
  item: string | undefined;
  back: string;
  backWords: string;
}

export function placeOf(cat: Catalogue, work: Work | null, rest: readonly string[]): Place {
  const [tool, stepId, item] = rest;
  const step = work?.steps.find((s) => s.step.id === stepId)?.step ?? null;
  if (!work) return { cat, work, step, item, back: tool ? "#/work-out" : "#/", backWords: tool ? "Work it out" : "Bikes" };
  return {
    cat, work, step, item,
    back: step ? jobLink(work.job.id, "bench", step.id) : jobLink(work.job.id, "work-out"),
    backWords: step ? step.label : "Work it out",
  };
}

export const quantityOf = (cat: Catalogue, id: string): Quantity | undefined => cat.quantities.find((q) => q.id === id);

export function stateOf(place: Place, id: string): QuantityState | null {
  const quantity = quantityOf(place.cat, id);
  return place.work && quantity ? quantityState(place.work, quantity) : null;
}

export const drivetrainOf = (place: Place): Partial<Drivetrain> => place.work?.bike.drivetrain ?? {};

/** The text of a caution of the catalogue. */
export const cautionText = (place: Place, id: string): string => place.cat.cautions.find((c) => c.id === id)?.text ?? "";
