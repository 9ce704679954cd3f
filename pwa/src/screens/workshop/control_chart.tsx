import type { Quantity } from "../../catalogue";
import { percent, scaleOf } from "../../look/geometry";
import { num } from "../../look/number";
import { frame, Ground, offPlot, px, py, Put, Standing, type Frame } from "../../look/plot";
import { STAGE_PATH } from "../../look/stage";
import type { WorkshopTrend } from "./answers";

const MOST_LABELLED = 3;

/** First bench value of each job, oldest first: band, control limits, weighted mean, and what stands beyond. */
export function ControlChart({ trend, quantity, unit }: { trend: WorkshopTrend; quantity: Quantity; unit: string }) {
  const { values, individuals: chart, weighted } = trend;
  const n = (v: number) => num(v, Math.max(quantity.digits, 2), quantity.signed);
  const scale = scaleOf({
    lower: trend.band?.lower, upper: trend.band?.upper, reference: trend.band || !chart ? null : Number(chart.centre.toFixed(quantity.digits)), plausible: quantity.plausible,
    span: chart ? Math.max(quantity.span ?? 0, 8 * chart.sigma) : quantity.span, minor: quantity.minor, major: quantity.major, signed: quantity.signed,
    zero: quantity.zero, setting: quantity.setting, full: quantity.full,
  });
  const f = frame(scale, 0, values.length + 1, 340);
  const beyond = new Set(chart?.beyond);
  const words = chart
    ? `${values.length} jobs, centre ${n(chart.centre)}, limits ${n(chart.lower)} to ${n(chart.upper)} ${unit}, ${beyond.size} beyond`
    : `${values.length} jobs`;
  return (
    <>
      <div class="pl">
        <svg class="plot" height={f.height} role="img" aria-label={`${quantity.label}, first bench value of each job: ${words}`}>
          <Ground f={f} />
          {chart && (
            <>
              <Level f={f} at={chart.upper} cls="base" label={`limit ${n(chart.upper)}`} above />
              <Level f={f} at={chart.lower} cls="base" label={`limit ${n(chart.lower)}`} />
              <Level f={f} at={chart.centre} cls="grad" />
            </>
          )}
          {weighted && weighted.means.map((mean, i) => i > 0 && (
            <line class="ew" x1={percent(px(f, i))} y1={py(f, weighted.means[i - 1]!)} x2={percent(px(f, i + 1))} y2={py(f, mean)} />
          ))}
          {values.map((v, i) => (
            <Put key={v.entry_id} f={f} x={i + 1} v={v.value}>
              {beyond.has(i) && <path class="edge" d="M-11 -11H11V11H-11Z" />}
              <path class="st bench" d={STAGE_PATH.bench} />
              {offPlot(f, v.value) && <path class="edge" d="M-14 10l6 -4M-14 16l6 -4" />}
            </Put>
          ))}
          {[...beyond].slice(0, MOST_LABELLED).map((i) => (
            <Put key={i} f={f} x={i + 1} v={values[i]!.value}>
              <text class="num nb halo" x={px(f, i + 1) > 70 ? -16 : 16} y="5" text-anchor={px(f, i + 1) > 70 ? "end" : "start"}>job {i + 1}: {n(values[i]!.value)}</text>
            </Put>
          ))}
        </svg>
        <Standing f={f} />
      </div>
      <p class="xs km">jobs, oldest first</p>
    </>
  );
}

function Level({ f, at, cls, label, above }: { f: Frame; at: number; cls: string; label?: string; above?: boolean }) {
  const y = py(f, at);
  return (
    <>
      <line class={cls} x1={percent(f.left)} x2="100%" y1={y} y2={y} />
      {label && <text class="num halo" x={percent(f.left + 1)} y={above ? y - 5 : y + 15}>{label}</text>}
    </>
  );
}

/** What the chart says, in words. */
export function ChartWords({ trend, n }: { trend: WorkshopTrend; n: (v: number) => string }) {
  const { individuals: chart, weighted, capability, values } = trend;
  const out = chart?.beyond.length ?? 0;
  const drift = weighted?.beyond.length ?? 0;
  const cpk = capability?.cpk;
  return (
    <>
      {chart && (
        <p>
          {out ? <><b>{out === 1 ? `Job ${chart.beyond[0]! + 1} stands` : `${out} jobs stand`} beyond the limits,</b> the other {values.length - out} do not.</> : <b>All {values.length} jobs stand within the limits.</b>}
          {drift > 0 && <> The weighted mean has left its limits {drift === 1 ? "once" : `${drift} times`}: look for what has changed.</>}
          {chart.provisional && " Below twenty jobs the limits still move."}
        </p>
      )}
      <p class="s">Squares are first bench values, before anything was adjusted; the line is their weighted mean, in which newer jobs count more, the bracket the band. The limits are where three standard deviations end: beyond them chance alone hardly comes.</p>
      <dl class="facts">
        <dt>After adjusting</dt>
        <dd>{cpk && capability ? <>Cpk {cpk.value.toFixed(2)} ({cpk.low.toFixed(2)} to {cpk.high.toFixed(2)}), mean {n(capability.mean)}, {capability.n} bikes.<p class="xs">Cpk: how far the nearer limit of the band lies from the mean, counted in three standard deviations. At 1 the values just fit; 1.33 leaves room to spare (common practice).</p></> : (trend.why_not["capability"] ?? "cannot be told yet")}</dd>
        {!chart && <><dt>Limits</dt><dd>{trend.why_not["individuals"] ?? "cannot be told yet"}</dd></>}
        {trend.note && <><dt>Note</dt><dd>{trend.note}</dd></>}
      </dl>
    </>
  );
}
