/** What can go wrong, as the screens meet it; the message is meant to be read. */
import { signal, type Signal } from "@preact/signals";
import type { ProblemBody } from "./nouns";

/** An answer of the service that is not a success; `status` 0: no answer, or one that is not the service's. */
export class Problem extends Error {
  constructor(readonly status: number, readonly body: ProblemBody) {
    super(body.detail ?? body.title);
    this.name = "Problem";
  }
}

/** Why a write to the phone's database failed. */
export const whyUnwritten = (cause: unknown): string =>
  cause instanceof DOMException && cause.name === "QuotaExceededError"
    ? "this phone's storage is full. Make room first." : "this phone could not write it.";

/** The phone could not write it down: what is on the screen is not saved. */
export class NotSaved extends Error {
  constructor(cause: unknown) {
    super(`Not saved: ${whyUnwritten(cause)} Try again.`, { cause });
    this.name = "NotSaved";
  }
}

/** The words of a write that failed and that no screen has told; null once a later one has gone well. */
export const unsaved: Signal<string | null> = signal(null);

/** A tap that asks nothing back, a mark or a check, must not fail in silence. */
export function tellUnsaved(): void {
  window.addEventListener("unhandledrejection", (event) => {
    if (!(event.reason instanceof NotSaved)) return;
    unsaved.value = event.reason.message;
    event.preventDefault();
  });
}

export async function saved<T>(writing: Promise<T>): Promise<T> {
  try {
    const result = await writing;
    unsaved.value = null;
    return result;
  } catch (error) {
    throw new NotSaved(error);
  }
}
