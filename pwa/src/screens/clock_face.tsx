import type { ComponentChildren } from "preact";
import { useState } from "preact/hooks";
import type { HangerFit } from "../domain/hanger";
import { Dial, HangerBehind } from "../look/dial";
import { num } from "../look/number";
import { Pad, parsePad } from "../look/pad";
import { Verdict, type VerdictWord } from "../look/verdict";
import { Leaf } from "../look/touch";
import type { Tip } from "../nouns";
import { LIMITS } from "../limits";
import { tryFit } from "./domain_entry";
import { wrong } from "./typed";

const FOUR = [12, 3, 6, 9];
const TWELVE = [12, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11];

export interface Clock {
  clocks: number[];
  /** Four places, or all twelve. */
  turnPlaces: () => void;
  text: (clock: number) => string;
  type: (clock: number, text: string) => void;
  /** The place whose gap is being typed; null: none. */
  hand: number | null;
  take: (clock: number) => void;
  /** False: what was typed cannot be a gap, and stays in hand. */
  next: () => Promise<boolean>;
  /** Why it cannot. */
  problem: string | null;
  /** Nothing was typed since it came in hand. */
  fresh: boolean;
  clear: () => void;
  tips: Tip[];
  fit: HangerFit | null;
  u: number;
}

/** Gaps from rim to gauge tip, place after place, and the tilt they fit. */
export function useClock(radius: number, u: number): Clock {
  const [clocks, setClocks] = useState(FOUR);
  const [gaps, setGaps] = useState<Record<number, string>>({});
  const [hand, setHand] = useState<number | null>(12);
  const [problem, setProblem] = useState<string | null>(null);
  const [fresh, setFresh] = useState(true);
  const take = (clock: number | null) => {
    setHand(clock);
    setFresh(true);
    setProblem(null);
  };
  const tips: Tip[] = clocks.flatMap((clock) => {
    const gap = parsePad(gaps[clock] ?? "");
    return gap === null ? [] : [{ clock, gap_mm: gap }];
  });
  return {
    clocks, hand, tips, u, take, problem, fit: tryFit(tips, radius, u),
    fresh: fresh || problem !== null,
    turnPlaces: () => setClocks(clocks === FOUR ? TWELVE : FOUR),
    text: (clock) => gaps[clock] ?? "",
    type: (clock, text) => {
      setGaps({ ...gaps, [clock]: text });
      setFresh(false);
      setProblem(null);
    },
    next: async () => {
      const odd = wrong({ label: `Gap at ${hand}`, unit: "mm", limit: LIMITS.Tip.gap_mm }, gaps[hand ?? 12] ?? "");
      setProblem(odd);
      if (odd) return false;
      const i = clocks.indexOf(hand ?? 12);
      take([...clocks.slice(i + 1), ...clocks.slice(0, i)].find((c) => parsePad(gaps[c] ?? "") === null) ?? null);
      return true;
    },
    clear: () => {
      setGaps({});
      take(12);
    },
  };
}

/** The clock face, its places to fill in, and what the readings say; `line` is the deviation on its rule. */
export function ClockFace({ clock, limit, line }: { clock: Clock; limit: number | null; line: ComponentChildren }) {
  const { fit, tips } = clock;
  return (
    <>
      <Dial tips={tips.map((t) => ({ clock: t.clock, gap: t.gap_mm }))} limit={limit}
        tilt={fit?.a == null || fit.b == null ? null : { mean: fit.c, a: fit.a, b: fit.b, u: clock.u, determined: fit.steepest_clock !== null }}
        label={`Clock face: ${tips.map((t) => `${num(t.gap_mm)} at ${t.clock}`).join(", ") || "no reading yet"}. ${fit?.advice ?? ""}`} />
      <div class="four" role="group" aria-label="Gap from rim to tip, mm">
        {clock.clocks.map((at) => (
          <button type="button" class="big col" aria-pressed={clock.hand === at} onClick={() => clock.take(at)}><small>at {at}</small>{clock.text(at) || "–"}</button>
        ))}
      </div>
      {fit && (
        <>
          {line}
          <div class="row adv">
            {fit.a !== null && <HangerBehind degrees={(Math.atan(fit.a / fit.radius_mm) * 180) / Math.PI} />}
            <div>
              <p><b>{lean(fit)}</b> {fit.advice}</p>
              {fit.residual_mm !== null && fit.agrees !== false && <p class="s mt">The readings agree to {num(fit.residual_mm, 2)} mm.</p>}
              {fit.why_not && <p class="s mt">{fit.why_not}</p>}
            </div>
          </div>
        </>
      )}
    </>
  );
}

/** What it comes to so far, beside the keypad. */
export function SoFar({ deviation, verdict }: { deviation: number | null; verdict: VerdictWord | null }) {
  return deviation === null ? null : <p class="row sp mb" role="status"><span>So far <b>{num(deviation, 1)} mm</b></span>{verdict && <Verdict word={verdict} />}</p>;
}

/** The keypad for the place in hand. */
export function ClockPad({ clock, step, children }: { clock: Clock; step: number; children: ComponentChildren }) {
  if (clock.hand === null) return null;
  return (
    <div class="docked">
      {clock.problem ? <p class="note stop mb" role="alert">{clock.problem}</p> : children}
      <Pad key={clock.hand} fresh={clock.fresh && clock.text(clock.hand) !== ""} text={clock.text(clock.hand)} onText={(t) => clock.type(clock.hand!, t)} onKeep={clock.next} step={step} signed={false} keep="Next" start={clock.tips.at(-1)?.gap_mm ?? null} />
    </div>
  );
}

export function TwelvePlaces({ clock }: { clock: Clock }) {
  return <Leaf on={clock.clocks === TWELVE} onPick={clock.turnPlaces}>twelve places</Leaf>;
}

function lean({ vertical_mm: vertical, steepest_clock: steepest }: HangerFit): string {
  if (vertical === null || steepest === null) return "";
  return vertical > 0 ? "The lower end is bent in." : "The lower end is bent out.";
}
