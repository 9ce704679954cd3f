import { useRef } from "preact/hooks";

/** Runs one piece of work at a time: a second tap while the first is being written down is the same tap. */
export function useOnce(): (work: () => Promise<void>) => void {
  const busy = useRef(false);
  return (work) => {
    if (busy.current) return;
    busy.current = true;
    void work().finally(() => (busy.current = false));
  };
}

/** What a failed write says; the book's own words where it has them. */
export const notSaved = (error: unknown): string => (error instanceof Error ? error.message : "Not saved. Try again.");
