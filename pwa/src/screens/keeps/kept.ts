/** What the shop keeps with the service: read when its page opens, written at once, never kept on the phone. */
import { useEffect, useState } from "preact/hooks";
import { Problem } from "../../book";
import { toField } from "../field";
import { useOnce } from "../once";
import { fetchPeople } from "../people";
import { faultsOf, type Faults } from "../typed";

export interface Kept<T> {
  answer: T | null;
  problem: string | null;
  faults: Faults;
  busy: boolean;
  /** What was just written, for a moment. */
  said: string | null;
  /** Asks again. */
  again: () => void;
  /** Writes, and takes what the service then holds; `done` runs only where it did. */
  write: (work: () => Promise<T>, done?: () => void) => void;
  /** Said by the page itself, before the service is asked. */
  refuse: (faults: Faults) => void;
}

const SAID_MS = 4000;

/** `what` begins a sentence: "Gauges". With another thing `open`, what was wrong with the one before is no longer said. */
export function useKept<T>(read: () => Promise<T>, what: string, open?: string): Kept<T> {
  const [answer, setAnswer] = useState<T | null>(null);
  const [told, tell] = useState<{ problem: string | null; faults: Faults }>({ problem: null, faults: {} });
  const [busy, setBusy] = useState(false);
  const [said, say] = useState<string | null>(null);
  const once = useOnce();
  const ask = (work: () => Promise<T>, done?: () => void) => once(async () => {
    setBusy(true);
    try {
      setAnswer(await work());
      tell({ problem: null, faults: {} });
      if (done) {
        say("Kept.");
        setTimeout(() => say(null), SAID_MS);
        done();
      }
    } catch (error) {
      tell({ problem: wordsOf(error, what, done ? " Nothing was changed." : ""), faults: error instanceof Problem ? faultsOf(error.body) : {} });
    }
    setBusy(false);
  });
  const again = () => void ask(read);
  useEffect(() => {
    again();
    void fetchPeople();
  }, []);
  useEffect(() => {
    if (answer) tell({ problem: null, faults: {} });
  }, [open]);
  const refuse = (faults: Faults) => {
    tell({ problem: Object.values(faults)[0] ?? null, faults });
    toField(Object.keys(faults)[0]);
  };
  return { answer, ...told, busy, said, again, write: (work, done = () => undefined) => void ask(work, done), refuse };
}

export function wordsOf(error: unknown, what: string, besides = ""): string {
  if (error instanceof Problem && error.status === 503) return `The service is busy: try again in a moment.${besides}`;
  if (error instanceof Problem && error.status) return error.message;
  return `${what} are kept by the service: get a signal, then try again.${besides}`;
}
