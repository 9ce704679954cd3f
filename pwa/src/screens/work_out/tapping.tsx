import { useRef, useState } from "preact/hooks";
import { LONGEST_MS, MOST_TAPS } from "../../domain/noise_tapping";

export interface Taps { noise: number[]; crank: number[] }

export type TapOf = keyof Taps;

/** Moments of the taps in milliseconds since the first of them; what comes after too many or too long is not taken. */
export function useTaps(): { taps: Taps; tap: (of: TapOf, at: number) => void; clear: () => void } {
  const [taps, setTaps] = useState<Taps>({ noise: [], crank: [] });
  const start = useRef<number | null>(null);
  return {
    taps,
    tap: (of, at) => {
      start.current ??= at;
      const since = Math.max(0, Math.round(at - start.current));
      setTaps((all) => (since > LONGEST_MS || all[of].length >= MOST_TAPS ? all : { ...all, [of]: [...all[of], since] }));
    },
    clear: () => {
      start.current = null;
      setTaps({ noise: [], crank: [] });
    },
  };
}

/** A plane that takes the moment the finger comes down, or a key is pressed; a held key is one tap. */
export function TapPlane({ words, n, go, onTap }: { words: string; n: number; go?: boolean; onTap: (at: number) => void }) {
  return (
    <button type="button" class={`tap col ${go ? "go" : ""}`} aria-label={`${words}, ${n} taps`}
      onPointerDown={(e) => { if (e.button === 0) onTap(e.timeStamp); }}
      onKeyDown={(e) => {
        if (e.key !== " " && e.key !== "Enter") return;
        e.preventDefault();
        if (!e.repeat) onTap(e.timeStamp);
      }}>
      {words}<small>{n}</small>
    </button>
  );
}
