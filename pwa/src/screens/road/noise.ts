import type { EntryData } from "../../nouns";

export interface Noise { sound: string | null; when: string[]; count: number | null }

export const noNoise = (): Noise => ({ sound: null, when: [], count: null });

export function noiseData(n: Noise): EntryData["noise"] | null {
  if (!n.sound) return null;
  return { sound: n.sound, when: n.when, ...(n.count === null ? {} : { count_in_ten_turns: n.count }) };
}
