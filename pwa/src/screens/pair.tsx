import { useEffect, useState } from "preact/hooks";
import { bikes, pair, Problem, session, signal as reach } from "../book";
import { Lost } from "./notices";
import { Page } from "./page";
import { go } from "./route";

/** One-time pairing by the link of another device, or by typing its code. */
export function Pair({ code }: { code?: string }) {
  const [typed, setTyped] = useState(code ?? "");
  const [state, setState] = useState<"idle" | "busy" | "done">("idle");
  const [problem, setProblem] = useState<string | null>(null);

  const send = async (value: string) => {
    if (!value.trim()) {
      setProblem("Type the code that the shop's other device shows.");
      return;
    }
    setState("busy");
    setProblem(null);
    try {
      await pair(value.trim());
      setState("done");
      go("#/");
    } catch (error) {
      setState("idle");
      setProblem(explain(error));
    }
  };

  // The link pairs by itself; a phone that is paired already asks first.
  useEffect(() => {
    if (code && (!session.value || reach.value === "revoked")) void send(code);
  }, []);

  return (
    <Page title="Pair this phone" foot={
      <>
        <label for="code">Pairing code</label>
        <form class="row" onSubmit={(e) => { e.preventDefault(); void send(typed); }}>
          <input id="code" class="fld big" autocomplete="off" autocapitalize="characters" spellcheck={false} value={typed}
            onInput={(e) => setTyped(e.currentTarget.value)} aria-describedby={problem ? "pair-problem" : undefined} />
          <button type="submit" class="big go">{state === "busy" ? "Pairing…" : "Pair"}</button>
        </form>
      </>
    }>
      <Lost />
      <p>A code from the shop joins this phone to its book. On a paired device: Settings, then “Pair another phone”. On a new installation the service prints one.</p>
      <p class="s mt">A code works once and for ten minutes.</p>
      {!session.value && !bikes.value.length && <p class="s mt">If this phone was paired before, its browser has cleared it: what the service had not confirmed is lost, the rest comes back with the pairing.</p>}
      {session.value && state !== "done" && <p class="note mt">This phone is paired already, as “{session.value.deviceName}”. Pairing again keeps everything that is on it.</p>}
      {problem && <p class="note stop mt" id="pair-problem" role="alert">{problem}</p>}
    </Page>
  );
}

function explain(error: unknown): string {
  if (!(error instanceof Problem)) return "The phone could not keep the pairing. Free some storage, then try again.";
  if (error.status === 0) return "The service did not answer. Get a signal, then try again: the code stays valid for its ten minutes.";
  if (error.status === 503 || error.status === 429) return "The service is busy. Try again in a moment.";
  return `${error.message} Ask for a new code.`;
}
