export type StageWord = "found" | "bench" | "road";

export const STAGE_PATH: Record<StageWord, string> = {
  found: "M0 -7L7 0L0 7L-7 0Z",
  bench: "M-6 -6H6V6H-6Z",
  road: "M-6.5 0A6.5 6.5 0 1 0 6.5 0A6.5 6.5 0 1 0 -6.5 0Z",
};

/** Found diamond, bench filled square, road circle. */
export function StageGlyph({ stage }: { stage: StageWord }) {
  return (
    <svg width="18" height="18" viewBox="-9 -9 18 18" aria-hidden="true"><path class={`st ${stage}`} d={STAGE_PATH[stage]} /></svg>
  );
}

export function WitnessGlyph() {
  return <svg width="14" height="14" viewBox="-7 -6 14 14" aria-hidden="true"><path class="wit" d="M-6 -4H6L0 6Z" /></svg>;
}
