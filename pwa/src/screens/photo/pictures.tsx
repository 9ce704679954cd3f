import type { ComponentChildren } from "preact";
import { useEffect, useRef, useState } from "preact/hooks";
import { log, signal as reach } from "../../book";
import type { Entry, EntryDraft } from "../../nouns";
import { photosHeld } from "../../sync/photos";
import { headOf } from "../correcting";
import { notSaved, useOnce } from "../once";
import { look, picture } from "./source";

export interface PicturesProps { of: readonly string[]; words: string; /** The entry that they may be taken off. */ entry?: Entry | undefined }

/** The photos of one thing, small; a tap enlarges one. Dashed: not yet sent. */
export function Pictures({ of, words, entry }: PicturesProps) {
  const [open, setOpen] = useState<string | null>(null);
  useEffect(() => void of.forEach((sha256) => void look(sha256)), [of.join(), reach.value]);
  const waiting = of.filter((sha256) => photosHeld.value.waiting.includes(sha256)).length;
  const shown = open && picture(open).value;
  return (
    <div class="phs">
      {of.map((sha256, i) => <Small key={sha256} sha256={sha256} alt={altOf(words, i, of.length)} onOpen={() => setOpen(sha256)} />)}
      {waiting > 0 && <span class="xs">{waiting === 1 ? "not sent yet" : `${waiting} not sent yet`}</span>}
      {shown && typeof shown !== "string" && <Enlarged url={shown.url} alt={altOf(words, of.indexOf(open), of.length)} onClose={() => setOpen(null)}>
        {entry && <TakeOff entry={entry} sha256={open} />}
      </Enlarged>}
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

function Enlarged({ url, alt, onClose, children }: { url: string; alt: string; onClose: () => void; children?: ComponentChildren }) {
  const dialog = useRef<HTMLDialogElement>(null);
  useEffect(() => dialog.current?.showModal(), []);
  return (
    <dialog ref={dialog} class="enlarged" aria-label={alt} onClose={onClose}>
      <img src={url} alt={alt} />
      <p class="s">{alt}</p>
      {children}
      <button type="button" class="big full" onClick={() => dialog.current?.close()}>Close</button>
    </dialog>
  );
}

/** A photo of the wrong thing: the entry is written anew without it, of the same moment and by the same person. */
function TakeOff({ entry, sha256 }: { entry: Entry; sha256: string }) {
  const [said, say] = useState<string | null>(null);
  const once = useOnce();
  const rest = entry.photos?.filter((one) => one !== sha256);
  const off = () => once(async () => {
    const { kind, data, by } = entry;
    try {
      await log(entry.job_id, { kind, data, ...headOf(entry), ...(by && { by }), photos: rest?.length ? rest : undefined } as EntryDraft);
    } catch (error) {
      say(notSaved(error));
    }
  });
  return (
    <>
      {said && <p class="note stop mt" role="alert">{said}</p>}
      <button type="button" class="full mb" onClick={off}>Take this photo off its entry</button>
    </>
  );
}
