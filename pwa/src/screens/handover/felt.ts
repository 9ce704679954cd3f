/**
 * What was heard and felt, and is not settled. Of a sound the last note counts, and one of level 0 says that it was listened
 * for and is gone; of a symptom the last adjustment made because of it counts, and only "better" settles it.
 */
import type { EntryDraft, EntryOf } from "../../nouns";
import { headOf } from "../correcting";
import { labelOf } from "../entry_words";
import { jobLink } from "../route";
import type { Work } from "../work";
import type { OpenPoint } from "./open_points";

export function felt(work: Work): OpenPoint[] {
  const heard = new Map<string, EntryOf<"noise">>();
  const turnedFor = new Map<string, EntryOf<"adjustment">>();
  for (const e of work.standing) {
    if (e.kind === "noise") heard.set(e.data.sound, e);
    if (e.kind === "adjustment" && e.data.because) turnedFor.set(e.data.because, e);
  }
  return [
    ...[...heard.values()].filter((e) => e.data.level !== 0).map((e) => noise(work, e)),
    ...[...turnedFor.values()].filter((e) => e.data.effect !== "better").map((e) => symptom(work, e)),
  ];
}

function noise(work: Work, { data }: EntryOf<"noise">): OpenPoint {
  const { sound, when } = data;
  return {
    key: `noise_${sound}`, what: sentence([labelOf(work.cat.sounds, sound), ...when.map((w) => labelOf(work.cat.whens, w))].join(", ")), why: "noted, and not said to be gone",
    href: jobLink(work.job.id, "plan"), settle: { word: "gone", draft: { kind: "noise", stage: "bench", data: { sound, when, level: 0 } } },
  };
}

function symptom(work: Work, e: EntryOf<"adjustment">): OpenPoint {
  const draft = { ...headOf(e), kind: "adjustment", data: { ...e.data, effect: "better" } } as EntryDraft;
  return {
    key: `symptom_${e.data.because}`, what: sentence(labelOf(work.cat.symptoms, e.data.because!)), href: jobLink(work.job.id, "road"), settle: { word: "better", draft },
    why: e.data.effect ? "turned for, and no better" : "turned for; what it did was not written down",
  };
}

const sentence = (words: string): string => words[0]!.toUpperCase() + words.slice(1);
