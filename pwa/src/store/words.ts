/** What persons have written in their own words, by job: read for finding a bike again. */
import type { Entry } from "../nouns";
import { read } from "./database";

function wordsOf(entry: Entry): string {
  const own = entry.kind === "remark" ? entry.data.text : entry.kind === "declined" ? entry.data.work : "";
  return `${own} ${entry.note ?? ""}`.trim();
}

/** Of these jobs, or of all; what was replaced, taken back or settled otherwise is left out. */
export async function wordsByJob(jobIds?: readonly string[]): Promise<Map<string, string>> {
  const [held, mirrored] = await read(["outbox", "entries"], async (tx) => {
    const [outbox, entries] = [tx.objectStore("outbox"), tx.objectStore("entries")];
    if (!jobIds) return Promise.all([outbox.getAll(), entries.getAll()]);
    const rows = jobIds.map((id) => Promise.all([outbox.index("job").getAll(id), entries.index("job").getAll(id)]));
    const found = await Promise.all(rows);
    return [found.flatMap(([own]) => own), found.flatMap(([, others]) => others)] as const;
  });
  const all = new Map([...mirrored, ...held.filter((row) => !row.fixed_by && !row.laid_aside)].map((row) => [row.id, row.entry]));
  const replaced = new Set([...all.values()].map((entry) => entry.replaces));
  const words = new Map((jobIds ?? []).map((id) => [id, ""]));
  for (const entry of all.values()) {
    const own = replaced.has(entry.id) ? "" : wordsOf(entry);
    if (own) words.set(entry.job_id, `${words.get(entry.job_id) ?? ""} ${own}`);
  }
  return words;
}
