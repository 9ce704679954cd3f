import { useEffect, useRef, useState } from "preact/hooks";
import { smaller } from "../../photo";
import type { NewPhoto } from "../../store/database";
import { inSight } from "./in_sight";
import { here } from "./source";

/** The contract takes so many at one entry. */
export const MOST = 20;

const wordsOf = (error: unknown): string => (error instanceof Error ? error.message : "This picture could not be used: choose a JPEG or PNG.");

/** Takes a photo, or chooses some that were taken; each is made smaller before anything else is done with it. */
export function Pick({ room, onPhotos }: { room: number; /** `done`: there is nothing to read here any more. */ onPhotos: (photos: NewPhoto[], done: boolean) => Promise<void> | void }) {
  const own = useRef<HTMLDivElement>(null);
  const [busy, setBusy] = useState(false);
  const [problem, setProblem] = useState<string | null>(null);
  const taking = useRef<HTMLInputElement>(null);
  const choosing = useRef<HTMLInputElement>(null);
  const picked = async (input: HTMLInputElement) => {
    const all = [...(input.files ?? [])];
    input.value = "";
    if (!all.length) return;
    setBusy(true);
    setProblem(null);
    const photos: NewPhoto[] = [];
    const wrong = all.length > room ? [`An entry holds ${MOST} photos at most: the first ${room} of these are taken.`] : [];
    for (const file of all.slice(0, room)) {
      // One that cannot be used does not hold up the others.
      await smaller(file).then((photo) => photos.push(photo), (error: unknown) => wrong.push(`${all.length > 1 ? `${file.name}: ` : ""}${wordsOf(error)}`));
    }
    photos.forEach(here);
    if (wrong.length) setProblem(wrong.join(" "));
    try {
      if (photos.length) await onPhotos(photos, !wrong.length);
    } catch (error) {
      setProblem(wordsOf(error));
    } finally {
      setBusy(false);
    }
  };
  useEffect(() => {
    if (own.current) inSight(own.current);
  }, [problem]);
  const told = problem && <p class="note stop mt" role="alert">{problem}</p>;
  if (room <= 0) return <div class="full" ref={own}><p class="s">An entry holds {MOST} photos at most.</p>{told}</div>;
  return (
    <div class="full" ref={own}>
      <div class="row">
        <button type="button" class="w" aria-disabled={busy} onClick={() => taking.current?.click()}>Take a photo</button>
        <button type="button" class="w" aria-disabled={busy} onClick={() => choosing.current?.click()}>Choose one</button>
      </div>
      <input ref={taking} hidden type="file" accept="image/*" capture="environment" onChange={(e) => void picked(e.currentTarget)} />
      <input ref={choosing} hidden type="file" accept="image/*" multiple onChange={(e) => void picked(e.currentTarget)} />
      {busy && <p class="s" role="status">Making it smaller…</p>}
      {told}
    </div>
  );
}
