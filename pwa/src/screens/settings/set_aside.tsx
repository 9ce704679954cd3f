import { useEffect, useState } from "preact/hooks";
import { asideHeld, bikeById, catalogue, exportSetAside, jobById, layAside, log, pending, puttingRight, type LoggedEntry } from "../../book";
import type { Catalogue } from "../../catalogue";
import { count, time } from "../../look/number";
import { entryWords } from "../entry_words";
import { notSaved, useOnce } from "../once";
import { jobLink } from "../route";
import { partsAtFault, reasonOf, wrongParts, writtenAnew } from "../rewrite";
import { PartFields, usePartTexts } from "../part_fields";

/** Entries the service cannot take, with its reason: readable, exportable, put right by a new entry or laid aside for good. */
export function SetAside({ onListed }: { onListed: () => void }) {
  const [rows, setRows] = useState<LoggedEntry[]>([]);
  useEffect(() => void asideHeld().then((found) => {
    setRows(found);
    onListed();
  }), [pending.value]);
  const cat = catalogue.value;
  if (!cat || !rows.length) return null;
  const open = rows.filter((row) => !row.fixedBy && !row.laidAside);
  const settled = rows.filter((row) => !open.includes(row));
  return (
    <>
      {open.length > 0 && (
        <>
          <h2>Set aside</h2>
          <p class="s">The service could not take these as they are. They stay readable here until each is put right or laid aside.</p>
          <ul class="mt">{open.map((row) => <Row key={row.entry.id} cat={cat} row={row} />)}</ul>
        </>
      )}
      {settled.length > 0 && (
        <details class="mt">
          <summary>{count(settled.length, "entry", "entries")} put right or laid aside</summary>
          <ul>
            {settled.map((row) => (
              <li class="li" key={row.entry.id}><Said cat={cat} row={row} /><p class="s">{row.fixedBy ? "Put right by a newer entry." : "Laid aside for good."} {reasonOf(cat, row.entry, row.problem)}</p></li>
            ))}
          </ul>
        </details>
      )}
      <button type="button" class="mt" onClick={() => void save()}>Export as a file</button>
    </>
  );
}

function Said({ cat, row: { entry } }: { cat: Catalogue; row: LoggedEntry }) {
  const { what, said } = entryWords(cat, entry);
  const job = jobById(entry.job_id);
  return (
    <>
      <b>{what} {said}</b> <span class="xs">{entry.stage}, {time(entry.taken_at)}</span>
      {job && <p class="s">{bikeById(job.bike_id)?.label ?? "A bike"}, {job.kind}</p>}
    </>
  );
}

/** What is at fault is typed anew here, so that the new entry keeps the moment and all else of the old one. */
function Row({ cat, row }: { cat: Catalogue; row: LoggedEntry }) {
  const { entry, problem } = row;
  const parts = partsAtFault(cat, entry, problem);
  const [texts, setTexts] = usePartTexts(parts);
  const [faults, setFaults] = useState<Record<string, string>>({});
  const [said, say] = useState<string | null>(null);
  const [laying, setLaying] = useState(false);
  const once = useOnce();
  // Held twice with something else in it: which one is right, a person knows.
  const asItStands = !problem?.errors?.length && problem?.status !== 413;
  const anew = () => once(async () => {
    const wrong = wrongParts(cat, entry, parts, texts);
    setFaults(wrong);
    if (Object.keys(wrong).length) return;
    try {
      puttingRight.value = entry;
      await log(entry.job_id, writtenAnew(entry, parts, texts));
    } catch (error) {
      say(notSaved(error));
    }
  });
  const lay = () => once(() => layAside(entry.id).catch((error: unknown) => say(notSaved(error))));
  return (
    <li class="li">
      <Said cat={cat} row={row} />
      <p class="note stop">{reasonOf(cat, entry, problem)}</p>
      <PartFields of={entry.id} parts={parts} texts={texts} faults={faults} put={setTexts} />
      {said && <p class="note stop mt" role="alert">{said}</p>}
      {laying ? (
        <>
          <p class="note stop mt" role="alert"><b>Lay it aside for good?</b> Nothing of it goes into the shop's book. It stays readable on this phone, in the list below and in the file.</p>
          <div class="row mt"><button type="button" class="w" onClick={() => setLaying(false)}>No, not yet</button><button type="button" class="w" onClick={lay}>Lay it aside for good</button></div>
        </>
      ) : (
        <div class="row wrapping mt">
          {(parts.length > 0 || asItStands) && <button type="button" class="big w go" onClick={anew}>{parts.length ? "Put it right" : "Write it anew as it stands"}</button>}
          <button type="button" class="w" onClick={() => setLaying(true)}>Lay it aside…</button>
        </div>
      )}
      {!laying && <p class="s"><a href={jobLink(entry.job_id, "plan")} onClick={() => { puttingRight.value = entry; }}>Go to its job and write it anew</a></p>}
    </li>
  );
}

async function save(): Promise<void> {
  const url = URL.createObjectURL(await exportSetAside());
  const link = document.createElement("a");
  link.href = url;
  link.download = "roadproof-set-aside.json";
  link.click();
  setTimeout(() => URL.revokeObjectURL(url), 60_000);
}
