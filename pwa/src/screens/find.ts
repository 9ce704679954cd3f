/**
 * Words that find a bike besides its own: of its jobs, of what was written down in them, and whose it is. They are read
 * when somebody begins to look for one, folded once, and kept up to date by what changes.
 */
import { computed, signal, type ReadonlySignal } from "@preact/signals";
import { api, bikes, catalogue, jobs } from "../book";
import type { components } from "../contract";
import { latest } from "../latest";
import type { Job } from "../nouns";
import { heard } from "../store/shown";
import { wordsByJob } from "../store/words";
import { labelOf } from "./entry_words";
import { fold } from "./fold";

const written = signal<ReadonlyMap<string, string>>(new Map());
/** Asked of the service where there is a signal, and kept only while somebody looks for a bike. */
const owners = signal<ReadonlyMap<string, string>>(new Map());

const folded = new Map<string, { raw: string; words: string }>();
/** Folds what is new of a thing. */
function foldedOf(id: string, raw: string): string {
  const known = folded.get(id);
  if (known?.raw === raw) return known.words;
  const words = fold(raw);
  folded.set(id, { raw, words });
  return words;
}

function wordsOf(job: Job): string {
  const cat = catalogue.value;
  const named = cat ? [
    ...(job.complaint?.symptoms ?? []).map((id) => labelOf(cat.symptoms, id)), ...(job.since_last ?? []).map((id) => labelOf(cat.events, id)),
    ...(job.missing_parts ?? []).map((id) => labelOf(cat.parts, id)),
  ] : [];
  return [job.kind, job.complaint?.words ?? "", ...named, written.value.get(job.id) ?? ""].join(" ");
}

/** Folded, by bike. */
export const moreWords: ReadonlySignal<ReadonlyMap<string, string>> = computed(() => {
  const found = new Map<string, string>();
  const add = (bikeId: string, words: string) => found.set(bikeId, `${found.get(bikeId) ?? ""} ${words}`);
  for (const job of jobs.value) add(job.bike_id, foldedOf(job.id, wordsOf(job)));
  for (const { id, customer_id } of bikes.value) {
    const owner = customer_id && owners.value.get(customer_id);
    if (owner) add(id, fold(owner));
  }
  return found;
});

let looking = false;
const touched = { jobs: new Set<string>(), all: true };
const readTouched = latest(async () => {
  const { jobs: ids, all } = { ...touched };
  if (!all && !ids.size) return;
  Object.assign(touched, { jobs: new Set(), all: false });
  const news = await wordsByJob(all ? undefined : [...ids]);
  if (all) written.value = news;
  else if ([...news].some(([id, words]) => (written.value.get(id) ?? "") !== words)) written.value = new Map([...written.value, ...news]);
});

/** Somebody begins to look for a bike. */
export function beginToFind(): void {
  heard.by = (jobIds) => {
    for (const id of jobIds ?? []) touched.jobs.add(id);
    touched.all ||= !jobIds;
    // What changes meanwhile is read when somebody looks again: no save waits for it.
    if (looking) void readTouched();
  };
  looking = true;
  void readTouched();
  api.get<components["schemas"]["CustomersShown"]>("/customers").then(({ customers }) => {
    owners.value = new Map(customers.map((one) => [one.id, one.name]));
  }, () => undefined);
}

/** Nobody looks any more: names of customers do not stay. */
export function endToFind(): void {
  looking = false;
  owners.value = new Map();
}
