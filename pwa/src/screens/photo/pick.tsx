import { useRef, useState } from "preact/hooks";
import { smaller } from "../../photo";
import type { NewPhoto } from "../../store/database";
import { here } from "./source";

/** The contract takes so many at one entry. */
export const MOST = 20;

/** Takes a photo, or chooses some that were taken; each is made smaller before anything else is done with it. */
export function Pick({ room, onPhotos }: { room: number; onPhotos: (photos: NewPhoto[]) => Promise<void> | void }) {
  const [busy, setBusy] = useState(false);
  const [problem, setProblem] = useState<string | null>(null);
  const taking = useRef<HTMLInputElement>(null);
  const choosing = useRef<HTMLInputElement>(null);
  const picked = async (input: HTMLInputElement) => {
    const files = [...(input.files ?? [])].slice(0, room);
    input.value = "";
    if (!files.length) return;
    setBusy(true);
    setProblem(null);
    try {
      const photos: NewPhoto[] = [];
      for (const file of files) photos.push(await smaller(file));
      photos.forEach(here);
      await onPhotos(photos);
    } catch (error) {
      setProblem(error instanceof Error ? error.message : "This picture could not be used.");
    } finally {
      setBusy(false);
    }
  };
  if (room <= 0) return <p class="s full">An entry holds {MOST} photos at most.</p>;
  return (
    <div class="full">
      <div class="row">
        <button type="button" class="w" aria-disabled={busy} onClick={() => taking.current?.click()}>Take a photo</button>
        <button type="button" class="w" aria-disabled={busy} onClick={() => choosing.current?.click()}>Choose one</button>
      </div>
      <input ref={taking} hidden type="file" accept="image/*" capture="environment" onChange={(e) => void picked(e.currentTarget)} />
      <input ref={choosing} hidden type="file" accept="image/*" multiple onChange={(e) => void picked(e.currentTarget)} />
      {busy && <p class="s" role="status">Making it smaller…</p>}
      {problem && <p class="note stop mt" role="alert">{problem}</p>}
    </div>
  );
}
