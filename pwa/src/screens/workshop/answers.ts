/** What all jobs of the shop say together, as the service works it out. Needs a signal. */
import { useEffect, useState } from "preact/hooks";
import { api, Problem } from "../../book";
import type { components } from "../../contract";

export type WorkshopTrend = components["schemas"]["WorkshopTrend"];
export type StandOffset = components["schemas"]["StandOffset"];
export type Comebacks = components["schemas"]["Comebacks"];
export type StayingOut = components["schemas"]["StayingOut"];
export type ComebackGroup = components["schemas"]["ComebackGroup"];

export interface Asked<T> {
  answer: T | null;
  problem: string | null;
}

/** An answer of the service, asked anew whenever the path changes; the one before stays until the new one is here. */
export function useAnswer<T>(path: string): Asked<T> {
  const [asked, setAsked] = useState<Asked<T>>({ answer: null, problem: null });
  useEffect(() => {
    let over = false;
    api.get<T>(path).then(
      (answer) => over || setAsked({ answer, problem: null }),
      (error: unknown) => over || setAsked({ answer: null, problem: why(error) }),
    );
    return () => {
      over = true;
    };
  }, [path]);
  return asked;
}

function why(error: unknown): string {
  if (error instanceof Problem && error.status) return error.message;
  return "The shop's charts are worked out by the service: get a signal, then open Workshop again.";
}

export const query = (fields: Record<string, string | null | undefined>): string => {
  const kept = Object.entries(fields).filter((pair): pair is [string, string] => !!pair[1]);
  return kept.length ? `?${new URLSearchParams(kept)}` : "";
};

/** "cable-11x1-11-42-40" as a mechanic says it: "11-speed, 40 × 11–42, cable". */
export function familyWords(family: string): string {
  const [shifting, speeds = "", small, large, ...rings] = family.split("-");
  return `${speeds.split("x")[0]}-speed, ${rings.join("/")} × ${small}–${large}, ${shifting}`;
}
