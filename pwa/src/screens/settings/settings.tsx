import { useEffect, useRef, useState } from "preact/hooks";
import { catalogue, choosePerson, offerPersist, otherAnswers, pending, persisted, sendNow, session, signal as reach, unpair, updateReady } from "../../book";
import { emptyPhone } from "../../store/empty";
import { PickOne } from "../../look/touch";
import { Notices, unconfirmed } from "../notices";
import { Page } from "../page";
import { fetchPeople, people, whoLogs } from "../people";
import { ASIDE, go } from "../route";
import { ShopIndex } from "../shop_index";
import { theme, THEMES, type Theme } from "../theme";
import { PairAnother } from "./pair_another";
import { SetAside } from "./set_aside";
import { HeldEdits, NotConfirmed } from "./waiting";

/** This phone: who logs on it, what it still holds, how it looks, and what the browser promises to keep. */
export function Settings({ rest: [at] }: { rest: string[] }) {
  useEffect(() => void fetchPeople(), []);
  const aside = useRef<HTMLDivElement>(null);
  const [listed, setListed] = useState(false);
  useEffect(() => {
    if (at !== ASIDE || !listed) return;
    aside.current?.focus({ preventScroll: true });
    aside.current?.scrollIntoView();
  }, [at, listed]);
  const s = session.value;
  return (
    <Page title="Settings" aside={s?.deviceName} foot={
      <>
        <button type="button" class="big go full" onClick={() => void sendNow()}>
          {pending.value.count ? `Send ${unconfirmed()} now` : "Look for news now"}
        </button>
        <ShopIndex at="settings" />
      </>
    }>
      <Notices />
      <fieldset>
        <legend>Who logs on this phone</legend>
        {people.value.length
          ? <PickOne label="Who logs" leaf="big" value={whoLogs()} onPick={(id) => id && void choosePerson(id === s?.personId ? null : id)} choices={people.value.map((p) => ({ id: p.id, label: p.name }))} />
          : <p class="s">The names come with the first signal.</p>}
      </fieldset>
      <fieldset>
        <legend>Look</legend>
        <PickOne label="Look" value={theme.value} onPick={(id) => id && (theme.value = id as Theme)} choices={THEMES} />
        <p class="s mt"><a href="#/look">What the drawings and marks mean</a></p>
      </fieldset>
      <h2>Not yet confirmed</h2>
      <NotConfirmed />
      <div ref={aside} tabIndex={-1}>
        <HeldEdits />
        <SetAside onListed={() => setListed(true)} />
      </div>
      <Storage />
      <Install />
      <PairAnother />
      <h2>This phone</h2>
      <dl class="facts">
        <dt>Paired as</dt><dd>{s?.deviceName}, {s?.role}</dd>
        <dt>Service</dt><dd>{otherAnswers.value ? "something else answers" : REACH[reach.value]}</dd>
        <dt>Catalogue</dt><dd>{catalogue.value ? "bands, steps, checks and causes are here" : "not yet here"}{catalogue.value && <span class="xs"> version {catalogue.value.version}</span>}</dd>
        {updateReady.value && <><dt>App</dt><dd>A newer one lies ready; it is taken at the next start, never during a ride.</dd></>}
      </dl>
      <button type="button" class="mt" onClick={() => void unpair().then(() => go("#/pair"))}>Pair this phone anew</button>
      <p class="s mt">What it holds stays on it and is sent after pairing again.</p>
      {reach.value === "other_shop" && <Empty />}
    </Page>
  );
}

/** For the shop that it is paired with now; it has to be paired with it once more. */
function Empty() {
  const [problem, setProblem] = useState<string | null>(null);
  const empty = () => emptyPhone().then(() => location.reload(), (error: Error) => setProblem(error.message));
  return (
    <>
      <button type="button" class="mt" onClick={() => void empty()}>Empty this phone</button>
      <p class="s mt">The book of the shop it was with goes from this phone; that shop keeps it.</p>
      {problem && <p class="note stop mt" role="alert">{problem}</p>}
    </>
  );
}

const REACH = {
  online: "answers", no_signal: "no signal", revoked: "does not know this phone any more", too_old: "wants a newer app", busy: "busy", other_shop: "is another shop's",
} as const;

function Storage() {
  return (
    <>
      <h2>What the browser promises to keep</h2>
      {persisted.value === true
        ? <p class="s"><b>Kept.</b> The browser has promised not to clear this phone's entries by itself.</p>
        : (
          <>
            <p class="s"><b>Not promised.</b> When storage runs short, the browser may clear what was not yet sent. Ask for the promise, add the app to the home screen, and send often.</p>
            <button type="button" class="mt" onClick={() => void offerPersist()}>Ask the browser to keep it</button>
          </>
        )}
    </>
  );
}

function Install() {
  if (typeof matchMedia === "function" && matchMedia("(display-mode: standalone)").matches) return null;
  return (
    <>
      <h2>On the home screen</h2>
      <p class="s">It then opens without the browser's bars and is kept longer. In a browser with a three-dot menu: “Add to home screen” or “Install”. In one with a share button: share, then “Add to Home Screen”.</p>
    </>
  );
}
