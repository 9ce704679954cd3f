import type { Quantity } from "../../catalogue";
import type { components } from "../../contract";
import { GUARD, scaleOf } from "../../look/geometry";
import { num } from "../../look/number";
import { Rule } from "../../look/rule";
import { startBands } from "./band_words";

export type StudyAnswer = components["schemas"]["GaugeStudy"];

const SOURCES: Record<string, string> = {
  part: "between parts", person: "between persons", interaction: "person by part", repeatability: "repeats", pooled: "repeats, pooled", total: "all together",
};
/** What the interaction of person and part, and a gauge that cannot tell parts apart, mean: AIAG, Measurement Systems Analysis, 4th ed. */
const GOOD_SHARE = 0.1;
const FAIR_SHARE = 0.3;
const ENOUGH_CATEGORIES = 5;

/** Tables and words of a study: what the gauge and the hands add, and whether parts can be told apart. */
export function StudyResult({ answer, q, unit }: { answer: StudyAnswer; q: Quantity; unit: string }) {
  const { u, variance, anova, interaction, share_of_study_variation: share, distinct_categories: categories } = answer;
  if (u === null || !variance || !anova || !interaction) return <p class="note mt" role="status"><b>It cannot be worked out:</b> {answer.why_not["u"]}</p>;
  const total = variance.gauge + variance.part;
  const of = [
    ["repeats", variance.repeatability], ["persons", variance.reproducibility], ["person by part", variance.interaction], ["gauge and hands together", variance.gauge], ["parts", variance.part],
  ] as const;
  return (
    <>
      <p class="mt" role="status"><b>u {num(u, 3)} {unit}</b> for one reading by one person{share === null ? "." : <>: {pc(share)} % of what the study varies is the gauge and the hands, {fit(share)}.</>}</p>
      <p class="xs">u, the standard uncertainty: about two readings in three lie no further than this from the true value.</p>
      <dl class="facts">
        <dt>Parts told apart</dt>
        <dd>{categories === null ? (answer.why_not["distinct_categories"] ?? "cannot be told") : <><b>{categories}</b> distinct {categories === 1 ? "category" : "categories"}; {categories >= ENOUGH_CATEGORIES ? `${ENOUGH_CATEGORIES} are enough` : `from ${ENOUGH_CATEGORIES} on parts are told apart well`} (AIAG, from memory)</>}</dd>
        <dt>Persons and parts</dt>
        <dd>{interaction.p === null ? "no interaction to be seen" : `interaction p = ${num(interaction.p, 3)}`}{interaction.pooled ? ", counted with the repeats" : ", counted by itself: some part is read differently by someone"}</dd>
      </dl>
      <h2>Where the variation comes from</h2>
      <div class="across" role="region" aria-label="Where the variation comes from" tabIndex={0}>
        <table class="numbers mt">
          <thead><tr><th scope="col">source</th><th scope="col">standard deviation, {unit}</th><th scope="col">share of variance</th></tr></thead>
          <tbody>{of.map(([name, v]) => <tr key={name}><th scope="row" class="ink">{name}</th><td>{num(Math.sqrt(v), 4)}</td><td>{total > 0 ? `${pc(v / total)} %` : "–"}</td></tr>)}</tbody>
        </table>
      </div>
      <h2>Analysis of variance</h2>
      <p class="xs">The method's own table: degrees of freedom, sums and means of squares, F, and p: how often chance alone would show as much. Below 0.05 it is hardly chance (common practice).</p>
      <div class="across" role="region" aria-label="Analysis of variance" tabIndex={0}>
        <table class="numbers mt">
          <thead><tr><th scope="col">source</th><th scope="col">df</th><th scope="col">SS</th><th scope="col">MS</th><th scope="col">F</th><th scope="col">p</th></tr></thead>
          <tbody>{anova.map((r) => (
            <tr key={r.source}><th scope="row" class="ink">{SOURCES[r.source] ?? r.source}</th><td>{r.df}</td><td>{figure(r.ss)}</td><td>{figure(r.ms)}</td><td>{figure(r.f)}</td><td>{r.p === null ? "" : r.p > 0 && r.p < 0.0005 ? "<0.001" : num(r.p, 3)}</td></tr>
          ))}</tbody>
        </table>
      </div>
      {!answer.adopted && (
        <>
          <h2>What it would change</h2>
          <div class="mt"><Whiskers q={q} unit={unit} u={q.u} words={`now: u ${num(q.u, 3)} ${unit}, ${q.u_tag}`} /></div>
          <div class="mt"><Whiskers q={q} unit={unit} u={u} words={`by this study: u ${num(u, 3)} ${unit}`} /></div>
        </>
      )}
    </>
  );
}

/** A reading in the middle of its band, with what measuring leaves open. */
function Whiskers({ q, unit, u, words }: { q: Quantity; unit: string; u: number; words: string }) {
  const band = startBands(q)[0] ?? null;
  const [lower, upper] = [band?.lower ?? null, band?.upper ?? null];
  const value = band?.target ?? (lower !== null && upper !== null ? (lower + upper) / 2 : upper !== null ? upper / 2 : (lower ?? (q.plausible[0] + q.plausible[1]) / 2));
  const scale = scaleOf({ lower, upper, reference: band ? null : value, span: q.span, plausible: q.plausible, minor: q.minor, major: q.major, signed: q.signed, zero: q.zero, setting: q.setting, full: q.full });
  return (
    <>
      <p class="s">{words}: a reading leaves ±{num(GUARD * u, 3)} {unit} open</p>
      <Rule scale={scale} label={words} value={value} whisker={[value - GUARD * u, value + GUARD * u]} />
    </>
  );
}

const pc = (share: number): string => num(share * 100, 1);
const figure = (v: number | null): string => (v === null ? "" : String(Number(v.toPrecision(4))));
const fit = (share: number): string => (share < GOOD_SHARE ? "little" : share < FAIR_SHARE ? "fair for many uses" : "much: look for what makes it so") + " (AIAG, from memory)";
