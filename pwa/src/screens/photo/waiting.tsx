import { useEffect, useState } from "preact/hooks";
import { count } from "../../look/number";
import type { HeldPhoto } from "../../store/database";
import { findPhoto } from "../../store/photos";
import { photoProblem, photosHeld } from "../../sync/photos";
import { Pictures } from "./pictures";
import { here, picture } from "./source";

/** Photos that wait, counted apart from what was measured: they go when that has been sent. */
export function Waiting() {
  const { waiting, refused } = photosHeld.value;
  const n = waiting.length;
  return (
    <>
      {n > 0 && (
        <div class="note dashed mt">
          <b>{count(n, "photo")} {n === 1 ? "waits" : "wait"} to be sent.</b> {n === 1 ? "It is" : "They are"} kept on this phone and {n === 1 ? "goes" : "go"} once all entries have been sent.
          {photoProblem.value && <p>{photoProblem.value.detail ?? photoProblem.value.title}</p>}
        </div>
      )}
      {refused.length > 0 && <><h2>Photos refused</h2><ul>{refused.map((sha256) => <Refused key={sha256} sha256={sha256} />)}</ul></>}
    </>
  );
}

function Refused({ sha256 }: { sha256: string }) {
  const [photo, set] = useState<HeldPhoto | null>(null);
  useEffect(() => void findPhoto(sha256).then((found) => {
    if (!found) return;
    here(found);
    set(found);
  }), [sha256]);
  const shown = picture(sha256).value;
  return (
    <li class="li">
      <p class="note stop"><b>The service will not take this photo.</b> {photo?.problem?.detail ?? photo?.problem?.title} It stays on this phone; its entry is not touched by this. Take the photo again, as a JPEG or PNG, and add it to its entry; or save this one as a file.</p>
      <div class="row">
        <Pictures of={[sha256]} words="an entry" />
        {typeof shown !== "string" && <a class="b flat" href={shown.url} download={`roadproof-photo-${sha256.slice(0, 8)}.jpg`}>Save as a file</a>}
      </div>
    </li>
  );
}
