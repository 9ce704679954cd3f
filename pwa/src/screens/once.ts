import { useRef } from "preact/hooks";

/** As `useOnce`, for those who wait for the end of it. The work may resolve to false where it was refused. */
export function useOneAtATime(): (work: () => Promise<boolean | void>) => Promise<boolean | void> {
  const busy = useRef(false);
  return (work) => {
    if (busy.current) return Promise.resolve();
    busy.current = true;
    return work().finally(() => (busy.current = false));
  };
}

/** Runs one piece of work at a time: a second tap while the first is being written down is the same tap. */
export function useOnce(): (work: () => Promise<void>) => void {
  const one = useOneAtATime();
  return (work) => void one(work);
}

/** What a failed write says; the book's own words where it has them. */
export const notSaved = (error: unknown): string => (error instanceof Error ? error.message : "Not saved. Try again.");
