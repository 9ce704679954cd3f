import type { Signal } from "@preact/signals";
import { useState } from "preact/hooks";
import { count } from "../../look/number";
import type { NewPhoto } from "../../store/database";
import { joined } from "./begun";
import { MOST, Pick } from "./pick";
import { Pictures } from "./pictures";

/** Photos for what is in hand: they are written down together with it. */
export function InHand({ photos }: { photos: Signal<NewPhoto[]> }) {
  const [open, setOpen] = useState(false);
  const chosen = photos.value;
  const add = (more: NewPhoto[], done: boolean) => {
    photos.value = joined(photos.value, more).slice(0, MOST);
    setOpen(!done);
  };
  return (
    <>
      <button type="button" class="flat" aria-expanded={open} onClick={() => setOpen(!open)}>{chosen.length ? count(chosen.length, "photo") : "Photo"}</button>
      {open && <Pick room={MOST - chosen.length} onPhotos={add} />}
      {open && chosen.length > 0 && (
        <div class="row full">
          <Pictures of={chosen.map((photo) => photo.sha256)} words="what is in hand" />
          <button type="button" class="flat" onClick={() => (photos.value = [])}>Leave out</button>
        </div>
      )}
    </>
  );
}
