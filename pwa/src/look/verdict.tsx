export type VerdictWord = "inside" | "borderline" | "outside" | "none";

const SHAPE: Record<VerdictWord, { d: string; tick: string; cls: string }> = {
  inside: { d: "M10 2H5V18H10M22 2H27V18H22", tick: "M16 2V18", cls: "in" },
  borderline: { d: "M10 2H5V18H10M16 10H32M22 2H27M27 18H22", tick: "M27 0V20", cls: "bo" },
  outside: { d: "M8 2H3V18H8M15 2H20V18H15", tick: "M29 2V18", cls: "out" },
  none: { d: "M4 18H28", tick: "M16 3V18", cls: "no" },
};

/** A word and a shape. The mark faces the side the value is on: `low` turns it round. */
export function Verdict({ word, low = false, text }: { word: VerdictWord; low?: boolean; text?: string }) {
  const shape = SHAPE[word];
  return (
    <span class={`v ${shape.cls}`}>
      <svg class={low ? "mk low" : "mk"} width="32" height="20" viewBox="0 0 32 20" aria-hidden="true">
        <path d={shape.d} /><path class="t" d={shape.tick} />
      </svg>
      {text ?? (word === "none" ? "no band" : word)}
    </span>
  );
}

/** On the low side of its band: nearer to the lower limit than to the upper one. */
export function isLow(value: number, lower: number | null, upper: number | null): boolean {
  if (lower === null) return false;
  return upper === null || Math.abs(value - lower) < Math.abs(value - upper);
}
