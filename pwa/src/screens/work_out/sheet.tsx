import type { ComponentChildren } from "preact";
import { CannotCompute } from "../../domain/errors";
import { JobHead } from "../job/head";
import { Page } from "../page";
import { FigurePad, type Figures } from "./figures";
import type { Place } from "./place";

/** A page that works something out: the answer on top, the figures below it, the keypad or what can be kept at the foot. */
export function Sheet({ place, title, figures, foot, children }: { place: Place; title: string; figures?: Figures; foot: ComponentChildren; children: ComponentChildren }) {
  const typing = !!figures?.hand;
  return (
    <Page title={title} head={place.work ? <><JobHead work={place.work} plan={false} /><p class="h1" aria-hidden="true">{title}</p></> : undefined}
      foot={typing ? <FigurePad figures={figures!} /> : foot} dock={typing}>
      {children}
    </Page>
  );
}

/** The answer, or in words why there is none. */
export function attempt<T>(compute: () => T): { answer: T; reason: null } | { answer: null; reason: string } {
  try {
    return { answer: compute(), reason: null };
  } catch (error) {
    if (error instanceof CannotCompute) return { answer: null, reason: error.message };
    throw error;
  }
}

/** Why nothing can be said yet. */
export function Reason({ words }: { words: string | null }) {
  return words ? <p class="note mt" role="status">{words}</p> : null;
}
