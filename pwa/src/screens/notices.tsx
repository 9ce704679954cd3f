import { clockOffset, held, lost, otherAnswers, pending, restoredAt, restoredSeen, seenLoss, signal as reach, unsentOf } from "../book";
import { count, list, time } from "../look/number";

/** How the phone stands with the service, in a sentence that says what to do; nothing when all is well. */
export function Notices() {
  return <><Lost /><Restored /><Reach /><Aside /><Clock /></>;
}

/** What is not yet confirmed, counted: "3 entries", "1 entry and 2 bikes or jobs". */
export function unconfirmed({ count: n, edits }: { count: number; edits: number } = pending.value): string {
  const entries = n > edits ? [count(n - edits, "entry", "entries")] : [];
  return list([...entries, ...(edits ? [count(edits, "bike or job", "bikes or jobs")] : [])]);
}

function kept(n: number): string {
  return n ? `${unconfirmed()} not yet confirmed, ${n === 1 ? "it is" : "all are"} kept on this phone` : "What you write down is kept on this phone";
}

function Reach() {
  const { count: n, oldest } = pending.value;
  switch (reach.value) {
    case "revoked":
      return <p class="note stop"><b>This phone is no longer paired with the shop.</b> {kept(n)}. Pair it again in <a href="#/settings">Settings</a> to send them.</p>;
    case "too_old":
      return <p class="note stop"><b>This app is older than the service.</b> {kept(n)}. Close the ride, then open the app once with a signal: it renews itself.</p>;
    case "other_shop":
      return <p class="note stop"><b>This phone was paired with another shop</b> than the one whose book it holds: nothing is sent there, and nothing read. {kept(n)}. Pair it with its own shop again, or empty it, in <a href="#/settings">Settings</a>.</p>;
    case "no_signal":
      return otherAnswers.value
        ? <p class="note dashed"><b>Something else than the service answers.</b> {kept(n)} and sent when the service answers again. Perhaps this network wants a log-in first.</p>
        : <p class="note dashed"><b>No signal.</b> {kept(n)} and sent when there is one.</p>;
    case "busy":
      return n ? <p class="note dashed"><b>The service is busy.</b> {kept(n)}; the phone tries again by itself.</p> : null;
    default:
      return n ? <p class="note dashed"><b>{unconfirmed()} not yet confirmed</b> by the service{oldest ? `, the oldest from ${time(oldest)}` : ""}. All are kept on this phone.</p> : null;
  }
}

function Aside() {
  const n = pending.value.setAside;
  const clashes = held.value.length;
  return (
    <>
      {n > 0 && <p class="note stop"><b>{count(n, "entry", "entries")} set aside:</b> the service cannot take {n === 1 ? "it" : "them"} as {n === 1 ? "it is" : "they are"}. <a href="#/settings/aside">See why</a></p>}
      {clashes > 0 && <p class="note stop"><b>{count(clashes, "edit")} held back:</b> changed on two phones, or refused. <a href="#/settings/aside">Choose</a></p>}
    </>
  );
}

export function Lost() {
  if (!lost.value) return null;
  const { held: n, edits, photos } = lost.value;
  return (
    <div class="note stop mt" role="alert">
      <b>The browser has cleared this phone's storage.</b> {n > 0 && `${unconfirmed({ count: n, edits })} that had not been confirmed ${n === 1 ? "is" : "are"} lost: write ${n === 1 ? "it" : "them"} down again from your notes. `}
      {photos > 0 && `${count(photos, "photo")} that had not been sent ${photos === 1 ? "is" : "are"} lost. `}What was confirmed comes back from the service.
      <button type="button" class="full mt" onClick={() => void seenLoss()}>I have read it</button>
    </div>
  );
}

function Restored() {
  if (!restoredAt.value) return null;
  return (
    <div class="note stop mt" role="alert">
      <b>The shop's book was set back to an older backup</b>, seen {time(restoredAt.value)}. This phone sends again what it still holds; what other phones have written since comes back when they sync. Look through the last days' work.
      <button type="button" class="full mt" onClick={() => void restoredSeen()}>I have read it</button>
    </div>
  );
}

const FAR_MS = 120_000;
const UNITS = [["day", 86_400_000], ["hour", 3_600_000], ["minute", 60_000]] as const;

function Clock() {
  const off = clockOffset.value;
  if (Math.abs(off) < FAR_MS) return null;
  const ms = Math.abs(off);
  const [unit, size] = UNITS.find(([, one]) => ms >= 0.95 * one) ?? UNITS[2];
  return <p class="note stop"><b>This phone's clock is {count(Math.round(ms / size), unit)} {off > 0 ? "behind" : "ahead"}.</b> What is written down keeps its order, and its time by the service's clock. Set the phone's clock right.</p>;
}

/** Of a job whose entries do not wait: "all confirmed", unless one was set aside. */
export function noneWaits(jobId: string): string {
  const n = pending.value.asideByJob.get(jobId);
  return n ? `${n} set aside` : "all confirmed";
}

/** Pencilled: not yet confirmed. Leads to the list of what is waiting. */
export function Pencilled({ jobId }: { jobId: string }) {
  const n = unsentOf(jobId);
  return n ? <a class="pencilled" href="#/settings"><span class="pencil">{n} not yet confirmed</span></a> : pending.value.asideByJob.has(jobId) ? <a href="#/settings/aside">{noneWaits(jobId)}</a> : <span class="s">{noneWaits(jobId)}</span>;
}
