/** Words as they are looked for: without case and accents, so that "alesund" finds "Ålesund". */
const LETTERS: Record<string, string> = { "ß": "ss", "æ": "ae", "œ": "oe", "ø": "o", "đ": "d", "ð": "d", "ł": "l", "þ": "th", "ı": "i" };

export function fold(text: string): string {
  return text.toLowerCase().normalize("NFKD").replace(/\p{M}/gu, "").replace(/[ßæœøđðłþı]/g, (letter) => LETTERS[letter]!);
}

/** The words that are looked for; none: everything is found. */
export const lookedFor = (query: string): string[] => fold(query).split(/\s+/).filter(Boolean);

/** Whether folded words hold every word that is looked for. */
export const holds = (folded: string, words: readonly string[]): boolean => words.every((word) => folded.includes(word));
