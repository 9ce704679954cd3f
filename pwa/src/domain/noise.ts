/**
 * Which part makes a noise: how often it comes for one turn of the crank, against how often each part turns.
 *
 * The chance of each part follows from how far, in standard errors, its rotation ratio lies from the one observed (Bayes'
 * rule with equal priors). Beside the parts stands "other", as likely as a part four standard errors away, so that a noise
 * that fits no part is not pinned on the nearest.
 */
import { CannotCompute } from "./errors";
import { rotations, type Part, type Rotations } from "./gears";
import { SHORTEST_PERIOD_MS, tappedPeriod, type Tapping } from "./noise_tapping";
import { advice } from "./noise_words";

const TOLD_FROM = 0.9;
const STILL_OPEN_FROM = 0.05;
const OTHER_AT = 4;
/** Cadence or speed is known to no better than 3 %; from memory. */
const U_REFERENCE = 0.03;
export const TURNS = 10;
/** A noise more or less at the ends of the ten turns; from memory. */
const U_COUNT = 0.5;
/** Noises missed or counted twice; from memory. */
const U_COUNT_SHARE = 0.03;
const Z = 1.959963984540054;
const STOPS_WHEN_COASTING: readonly string[] = ["crank", "pedal_strokes", "chain_loop", "pulley"];

/** What is known beside the noise itself. `coasting`: true if it goes on while coasting, false if it stops. */
export interface Sounding {
  ring: number;
  cog: number;
  chain_links?: number | null | undefined;
  pulley_teeth?: number | null | undefined;
  circumference_mm?: number | null | undefined;
  cadence_rpm?: number | null | undefined;
  speed_kmh?: number | null | undefined;
  coasting?: boolean | null | undefined;
}

/** A part, the period (ms) and the count in ten turns that it would have, and its probability. */
export interface Candidate {
  part: Part | "other";
  expected_period_ms: number | null;
  expected_count: number | null;
  probability: number;
}

interface Measured {
  period_ms: number | null;
  u_period_ms: number | null;
  period_interval_ms: [number, number] | null;
}

/** The noise's period (ms) and ratio (noises a crank turn), the parts ranked, and whether one is told apart. */
export interface Noise extends Measured {
  ratio_to_crank: number | null;
  u_ratio_to_crank: number | null;
  candidates: Candidate[];
  told_apart: boolean;
  not_told_apart: Candidate["part"][];
  advice: string;
  why_not: Record<string, string>;
}

type Weights = Partial<Record<Candidate["part"], number>>;

/**
 * Ranks the parts by the noises counted in ten turns of the crank: a part is expected 10 x its rotation ratio times, with
 * standard uncertainty root(0.25 + (0.03 count)2). Throws CannotCompute for no noise at all, or what is no count.
 */
export function candidatesByCount(countInTenTurns: number, known: Sounding): Noise {
  if (!(countInTenTurns >= 1 && countInTenTurns <= 1000)) throw new CannotCompute("Count at least one noise in ten turns of the crank.");
  const turns = turnsOf(known);
  const crankMs = crankPeriod(known);
  const weights: Weights = {};
  for (const [part, ratio] of entriesOf(turns)) {
    const u = Math.hypot(U_COUNT, U_COUNT_SHARE * TURNS * ratio);
    weights[part] = Math.exp(-(((countInTenTurns - TURNS * ratio) / u) ** 2) / 2) / u;
  }
  const uCount = Math.hypot(U_COUNT, U_COUNT_SHARE * countInTenTurns);
  weights.other = Math.exp(-(OTHER_AT ** 2) / 2) / uCount;
  const [ratio, uRatio] = [countInTenTurns / TURNS, uCount / TURNS];
  const measured: Measured = { period_ms: null, u_period_ms: null, period_interval_ms: null };
  if (crankMs !== null) {
    const period = crankMs / ratio;
    const u = period * Math.hypot(uRatio / ratio, U_REFERENCE);
    Object.assign(measured, { period_ms: period, u_period_ms: u, period_interval_ms: [Math.max(0, period - Z * u), period + Z * u] });
  }
  return ranked(sharedOut(weights, known), turns, known, crankMs, [ratio, uRatio], [], measured);
}

/**
 * Ranks the parts by the period tapped, against a crank tapped at the same time, or cadence or speed within 3 %. Distances
 * are taken between logarithms of the ratios, with Student's t of the tapping's degrees of freedom (combined by Welch and
 * Satterthwaite, JCGM 100:2008, G.4). Parts with a period under 250 ms are left out, since nobody taps along with them.
 * Without crank taps, cadence or speed the period stands alone. Throws CannotCompute where the taps give no period.
 */
export function candidatesByTaps(tapsMs: readonly number[], known: Sounding, crankTapsMs: readonly number[] | null = null): Noise {
  const tapping = tappedPeriod(tapsMs);
  const turns = turnsOf(known);
  const measured: Measured = { period_ms: tapping.period_ms, u_period_ms: tapping.u_period_ms, period_interval_ms: tapping.interval_ms };
  const { crankMs, relative, freedom } = reference(tapping, known, crankTapsMs);
  if (crankMs === null) {
    const reason = "Tap the crank too, or give cadence or speed, to compare the period with the parts.";
    return {
      ratio_to_crank: null, u_ratio_to_crank: null, candidates: [], told_apart: false, not_told_apart: [], advice: reason,
      why_not: { ratio_to_crank: reason, u_ratio_to_crank: reason }, ...measured,
    };
  }
  const ratio = crankMs / tapping.period_ms;
  const weights: Weights = {};
  const fast: Part[] = [];
  for (const [part, turn] of entriesOf(turns)) {
    if (crankMs / turn < SHORTEST_PERIOD_MS) fast.push(part);
    else weights[part] = kernel(Math.log(ratio / turn) / relative, freedom);
  }
  weights.other = kernel(OTHER_AT, freedom);
  return ranked(sharedOut(weights, known), turns, known, crankMs, [ratio, ratio * relative], fast, measured);
}

const entriesOf = (turns: Rotations) => Object.entries(turns) as [Part, number][];

/** Turns of each part for one of the crank. */
export const turnsOf = (known: Sounding): Rotations => rotations(known.ring, known.cog, known.chain_links, known.pulley_teeth);

/** One turn of the crank in ms from cadence, else from speed through wheel and gear; null if neither is known. */
function crankPeriod(known: Sounding): number | null {
  const { cadence_rpm: cadence, speed_kmh: speed, circumference_mm: circumference } = known;
  if (cadence != null) {
    if (!(cadence >= 1 && cadence <= 300)) throw new CannotCompute("The cadence must be a number of turns a minute.");
    return 60_000 / cadence;
  }
  if (speed == null || circumference == null) return null;
  if (!(speed >= 0.1 && speed <= 200 && circumference >= 100 && circumference <= 10_000)) {
    throw new CannotCompute("Speed and rolling circumference must be ordinary numbers.");
  }
  return ((circumference / (speed / 3.6)) * known.ring) / known.cog;
}

/** Crank period, relative standard uncertainty of the ratio, and its degrees of freedom. */
function reference(tapping: Tapping, known: Sounding, crankTapsMs: readonly number[] | null): { crankMs: number | null; relative: number; freedom: number } {
  const own = tapping.u_period_ms / tapping.period_ms;
  let [crankMs, other, freedom]: [number | null, number, number] = [crankTapsMs ? null : crankPeriod(known), U_REFERENCE, Infinity];
  if (crankTapsMs) {
    const crank = tappedPeriod(crankTapsMs);
    [crankMs, other, freedom] = [crank.period_ms, crank.u_period_ms / crank.period_ms, crank.freedom];
    // Tapped one after the other: the cadence may have changed in between.
    if (!together(tapping, crank)) [other, freedom] = [Math.hypot(other, U_REFERENCE), Infinity];
  }
  const relative = Math.hypot(own, other);
  return { crankMs, relative, freedom: relative ** 4 / (own ** 4 / tapping.freedom + other ** 4 / freedom) };
}

/** Whether two tappings overlap for at least half of the shorter one. */
function together(one: Tapping, other: Tapping): boolean {
  const overlap = Math.min(one.end_ms, other.end_ms) - Math.max(one.start_ms, other.start_ms);
  return overlap >= Math.min(one.end_ms - one.start_ms, other.end_ms - other.start_ms) / 2;
}

/** Student's t density without its constant, which all candidates share. */
function kernel(distance: number, freedom: number): number {
  if (freedom > 1e6) return Math.exp(-(distance ** 2) / 2);
  return Math.exp((-(freedom + 1) / 2) * Math.log1p(distance ** 2 / freedom));
}

/** Probabilities from weights; what turns with the crank cannot sound while coasting. */
function sharedOut(weights: Weights, known: Sounding): [Candidate["part"], number][] {
  const open = (Object.entries(weights) as [Candidate["part"], number][]).filter(([part]) => !(known.coasting && STOPS_WHEN_COASTING.includes(part)));
  const total = open.reduce((sum, [, weight]) => sum + weight, 0);
  return open.map(([part, weight]) => [part, weight / total]);
}

function ranked(
  shares: [Candidate["part"], number][], turns: Rotations, known: Sounding, crankMs: number | null, [ratio, uRatio]: [number, number],
  fast: readonly Part[], measured: Measured,
): Noise {
  const candidates = shares.sort((one, other) => other[1] - one[1]).map(([part, probability]): Candidate => {
    const turn = part === "other" ? undefined : turns[part];
    return {
      part, probability, expected_count: turn === undefined ? null : TURNS * turn,
      expected_period_ms: turn === undefined || crankMs === null ? null : crankMs / turn,
    };
  });
  const best = candidates[0]!;
  const told = best.probability >= TOLD_FROM && best.part !== "other";
  const near = candidates.filter((one) => one.probability >= STILL_OPEN_FROM).map((one) => one.part);
  const stillOpen = told || (near.length === 1 && near[0] === "other") ? [] : near;
  const reason = "Give cadence, or speed and circumference, for the noise's period.";
  return {
    ratio_to_crank: ratio, u_ratio_to_crank: uRatio, candidates, told_apart: told, not_told_apart: stillOpen,
    advice: advice(best.part, told, stillOpen, fast, known.coasting ?? null),
    why_not: measured.period_ms === null ? { period_ms: reason, u_period_ms: reason, period_interval_ms: reason } : {}, ...measured,
  };
}
