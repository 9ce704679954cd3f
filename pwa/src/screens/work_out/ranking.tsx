import type { Noise } from "../../domain/noise";
import { NAMES } from "../../domain/noise_words";
import { ShareRule } from "../../look/share_rule";
import { amount, num } from "../../look/number";

const SHOWN_FROM = 0.005;

/** What the ranking says, and the parts by their chance. */
export function Ranking({ found }: { found: Noise }) {
  const rows = found.candidates.filter((one, i) => i < 2 || one.probability >= SHOWN_FROM);
  return (
    <>
      <p class="mt" role="status"><b>{found.advice}</b></p>
      {rows.length > 0 && (
        <ul class="mt">
          {rows.map((one) => (
            <ShareRule key={one.part} name={capital(NAMES[one.part]!)} share={one.probability}
              note={one.expected_count === null ? undefined : `would come ${amount(one.expected_count, 1, "time")} in ten turns${one.expected_period_ms === null ? "" : `, every ${num(one.expected_period_ms / 1000, 2)} s`}`} />
          ))}
        </ul>
      )}
    </>
  );
}

const capital = (words: string) => words.charAt(0).toUpperCase() + words.slice(1);
