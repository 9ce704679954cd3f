import { catalogue, session, signal as reach } from "../book";
import { Page } from "./page";

/** Something an address names that is not on this phone. */
export function NotHere({ what }: { what: "bike" | "job" | "page" }) {
  if (what === "page") return <Page title="No such page"><p>This address leads nowhere in the app. <a href="#/">Back to the bikes</a></p></Page>;
  return (
    <Page title={`This ${what} is not on this phone`}>
      <p>{reach.value === "online" ? "It may still be on its way: wait a moment, or look for it under Bikes." : "It may have been added on another phone. Get a signal once and it is fetched."}</p>
      <p class="mt3"><a class="b big" href="#/">Back to the bikes</a></p>
    </Page>
  );
}

/** Paired, but without the catalogue: the one thing the app cannot begin without. */
export function Waiting() {
  // With a catalogue it is only the phone's own database that is being read.
  if (catalogue.value) return <main class="fill" aria-busy="true" />;
  return (
    <Page title="Roadproof">
      {session.value && (
        reach.value === "online"
          ? <p role="status">Fetching the shop's catalogue and bikes…</p>
          : <p class="note">The shop's catalogue is not on this phone yet. Get a signal once; from then on the app works without one.</p>
      )}
    </Page>
  );
}
