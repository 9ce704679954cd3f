import { useEffect, useRef, useState } from "preact/hooks";
import { signal as reach } from "../../book";
import { photosHeld } from "../../sync/photos";
import { look, picture } from "./source";

/** The photos of one thing, small; a tap enlarges one. Dashed: not yet sent. */
export function Pictures({ of, words }: { of: readonly string[]; words: string }) {
  const [open, setOpen] = useState<string | null>(null);
  useEffect(() => void of.forEach((sha256) => void look(sha256)), [of.join(), reach.value]);
  const waiting = of.filter((sha256) => photosHeld.value.waiting.includes(sha256)).length;
  const shown = open && picture(open).value;
  return (
    <div class="phs">
      {of.map((sha256, i) => <Small key={sha256} sha256={sha256} alt={altOf(words, i, of.length)} onOpen={() => setOpen(sha256)} />)}
      {waiting > 0 && <span class="xs">{waiting === 1 ? "not sent yet" : `${waiting} not sent yet`}</span>}
      {shown && typeof shown !== "string" && <Enlarged url={shown.url} alt={altOf(words, of.indexOf(open), of.length)} onClose={() => setOpen(null)} />}
    </div>
  );
}

const altOf = (words: string, i: number, n: number) => `Photo${n > 1 ? ` ${i + 1}` : ""} of ${words.trim()}`;

const WHY = {
  loading: "Fetching a photo…",
  no_signal: "A photo: it is shown when there is a signal.",
  not_come: "A photo: the phone that took it has not sent it yet.",
} as const;

function Small({ sha256, alt, onOpen }: { sha256: string; alt: string; onOpen: () => void }) {
  const found = picture(sha256).value;
  if (typeof found === "string") return <span class="s">{WHY[found]}</span>;
  const { waiting, refused } = photosHeld.value;
  return (
    <button type="button" class={waiting.includes(sha256) ? "ph unsent" : "ph"} onClick={onOpen}>
      <img src={found.url} alt={refused.includes(sha256) ? `${alt}, refused by the service` : alt} decoding="async" />
    </button>
  );
}

function Enlarged({ url, alt, onClose }: { url: string; alt: string; onClose: () => void }) {
  const dialog = useRef<HTMLDialogElement>(null);
  useEffect(() => dialog.current?.showModal(), []);
  return (
    <dialog ref={dialog} class="enlarged" aria-label={alt} onClose={onClose}>
      <img src={url} alt={alt} />
      <p class="s">{alt}</p>
      <button type="button" class="big full" onClick={() => dialog.current?.close()}>Close</button>
    </dialog>
  );
}
