/** Finding a bike by any word of it, of its jobs, and of what was written down in them. */
import { beforeEach, describe, expect, it, vi } from "vitest";
import { fold, holds, lookedFor } from "../../src/screens/fold";
import type { Bike, EntryDraft } from "../../src/nouns";
import { bikeDraft, jobDraft, offline, pairedPhone } from "../sync/phone";

describe("without case and accents", () => {
  // Letters with a line or joined have no parts to take off (Unicode 15, no decomposition): each stands for its plain ones.
  it.each([
    ["Ålesund", "alesund"], ["Olive", "OLÍVE"], ["OLÍVE", "olive"], ["Brønnøy", "bronnoy"], ["Straße", "STRASSE"], ["cœur", "Coeur"],
    ["Łódź", "lodz"], ["Þór", "thor"], ["Æble", "aeble"], ["İzmir", "izmir"], ["Kış", "kis"], ["50 °C ½", "½"],
  ])("%s is found by %s", (words, query) => expect(holds(fold(words), lookedFor(query))).toBe(true));
  it("every word must be there", () => expect(holds(fold("Grå Ålesund 54"), lookedFor("gra 56"))).toBe(false));
});

let phone: Awaited<ReturnType<typeof pairedPhone>>;
let find: typeof import("../../src/screens/find");
let matches: (bike: Bike, words: string[], more?: string) => boolean;
/** As Bikes looks for it. */
function found(query: string): string[] {
  const words = lookedFor(query);
  return phone.page.book.bikes.value.filter((bike) => matches(bike, words, find.moreWords.value.get(bike.id))).map((bike) => bike.label);
}
const write = (job: string, draft: EntryDraft) => phone.page.book.log(job, draft);
const remark = (text: string): EntryDraft => ({ kind: "remark", stage: "bench", data: { text } });

beforeEach(async () => {
  phone = await pairedPhone();
  find = await import("../../src/screens/find");
  ({ matches } = await import("../../src/screens/bike/facts"));
});

it("by words of its jobs and remarks, as they are written, corrected and taken back", async () => {
  const { book } = phone.page;
  const [one, other] = [bikeDraft({ label: "Ålesund 54" }), bikeDraft({ label: "Blue tourer" })];
  const [job, second] = [jobDraft(one.id), jobDraft(other.id, { kind: "comeback", complaint: { symptoms: [], words: "Knirscht bergauf, größte Übersetzung" } })];
  await offline(phone.service, phone.page, async () => {
    for (const bike of [one, other]) await book.putBike(bike);
    for (const each of [job, second]) await book.putJob(each);
    await write(job.id, remark("Scratch on the left seat stay"));
    find.beginToFind();
    await vi.waitFor(() => expect(found("scratch seat")).toEqual(["Ålesund 54"]));
    expect(found("alesund")).toEqual(["Ålesund 54"]);
    expect(found("GROSSTE UBERSETZUNG")).toEqual(["Blue tourer"]);
    expect(found("comeback")).toEqual(["Blue tourer"]);
    const work = await write(second.id, { kind: "declined", stage: "bench", note: "asked twice", data: { work: "New brake pads" } });
    await vi.waitFor(() => expect([found("brake pads"), found("twice")]).toEqual([["Blue tourer"], ["Blue tourer"]]));
    await book.undo(work.entry.id);
    await vi.waitFor(() => expect(found("brake pads")).toEqual([]));
    find.endToFind();
    await write(second.id, remark("Bell missing"));
    find.beginToFind();
    await vi.waitFor(() => expect(found("bell")).toEqual(["Blue tourer"]));
  });
});

it("500 bikes and 10,000 entries: read once, folded once, and a key press works out its own word alone", async () => {
  const { book } = phone.page;
  const { write: inOne } = await import("../../src/store/database");
  const bikes = Array.from({ length: 500 }, (_, n) => bikeDraft({ label: `Bike ${n}` }));
  await inOne(["bikes", "jobs", "entries"], async (tx) => {
    for (const [n, bike] of bikes.entries()) {
      const job = jobDraft(bike.id);
      await tx.objectStore("bikes").put({ id: bike.id, epoch: null, body: { ...bike, seq: n + 1 } });
      await tx.objectStore("jobs").put({ id: job.id, epoch: null, body: { ...job, seq: n + 1, state: "open" } });
      for (let i = 0; i < 20; i++) {
        const id = `${bike.id.slice(0, -2)}${i + 10}`;
        const entry = { id, job_id: job.id, device_seq: i, kind: "remark", stage: "bench", taken_at: job.opened_at, data: { text: `Note ${n}-${i} höher` } } as const;
        await tx.objectStore("entries").put({ id, job_id: job.id, seq: n * 20 + i + 1000, epoch: null, entry });
      }
    }
  });
  await book.openBook();
  find.beginToFind();
  await vi.waitFor(() => expect(found("note 499-19 hoher")).toEqual(["Bike 499"]));
  const folds = vi.spyOn(String.prototype, "normalize");
  const database = vi.spyOn(IDBDatabase.prototype, "transaction");
  for (const typed of ["n", "no", "not", "note", "note 7-3"]) found(typed);
  expect(database).not.toHaveBeenCalled();
  expect(folds).toHaveBeenCalledTimes(5);
  folds.mockRestore();
  const before = performance.now();
  found("note 7-3");
  expect(performance.now() - before).toBeLessThan(100);
}, 60_000);
