import type { Adjuster, Catalogue } from "../catalogue";
import { Tally } from "../look/tally";
import { num } from "../look/number";
import { turnedWords, unitLabel } from "./entry_words";

/**
 * What the hands have turned, net, in words and strokes. Flat planes in the past tense: nothing here may look as if it
 * moved the bike. Outboard (or out, or down) is left.
 */
export function TurnRow({ cat, adjuster: a, amount, onAmount }: { cat: Catalogue; adjuster: Adjuster; amount: number; onAmount: (n: number) => void }) {
  const step = a.step || 1;
  const more = a.unit === "step" ? "1 more" : `${fraction(step)} ${unitLabel(cat, a.unit)} more`;
  const turn = (by: 1 | -1) => onAmount(Math.round(amount / step + by) * step);
  const words = `${a.short ?? a.label}: ${turnedWords(cat, a.id, amount, a.unit)}`;
  return (
    <div class="tl3" role="group" aria-label={a.label}>
      <button type="button" class="flat" onClick={() => turn(-1)}>{more}<br />{a.negative}</button>
      <Tally n={amount / step} words={words} ends={[a.negative, a.positive].map(short) as [string, string]} />
      <button type="button" class="flat" onClick={() => turn(1)}>{more}<br />{a.positive}</button>
    </div>
  );
}

const short = (word: string) => word.replace(/^(.*) /, "").replace("board", "");

function fraction(n: number): string {
  return ({ 0.25: "¼", 0.5: "½", 0.75: "¾" } as Record<number, string>)[n] ?? num(n);
}
