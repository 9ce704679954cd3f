import { date } from "../../look/number";
import type { Series } from "./series";

/** Slope, forecast, jump and change in words; where one cannot be told, the reason. */
export function SeriesWords({ series: s, unit, n }: { series: Series; unit: string; n: (v: number) => string }) {
  const signed = (v: number) => (v > 0 ? `+${n(v).replace("+", "")}` : n(v));
  const why = (key: "change" | "slope" | "forecast" | "step") => s.why_not?.[key] ?? "cannot be told yet";
  const where = (v: number | string | null) => (v === null ? "no telling when" : typeof v === "string" ? date(v) : `${Math.round(v).toLocaleString("en-GB")} km`);
  return (
    <dl class="facts">
      <dt>Slope</dt>
      <dd>{s.slope
        ? <>{signed(s.slope.value)} {unit} in {s.slope.per.replace(" d", " days")}, between {signed(s.slope.low)} and {signed(s.slope.high)} <span class="s">({Math.round(s.slope.confidence * 100)} %, {s.points.length} readings)</span></>
        : why("slope")}</dd>
      <dt>Forecast</dt>
      <dd>{s.forecast
        ? <><b>Leaves its band near {where(s.forecast.leaves_at)}</b>, not before {where(s.forecast.low)}{s.forecast.high === null ? "" : `, perhaps as late as ${where(s.forecast.high)}`}.</>
        : why("forecast")}</dd>
      <dt>Jump</dt>
      <dd>{s.step ? <>{signed(s.step.size)} {unit} at once near {where(s.step.at)}: more like a knock than wear.</> : why("step")}</dd>
      <dt>Since</dt>
      <dd>{s.change ? <>{signed(s.change.delta)} {unit} since the handover, {s.change.real ? "beyond what measuring explains" : "could be measuring"}.</> : why("change")}</dd>
      {s.note && <><dt>Note</dt><dd>{s.note}</dd></>}
    </dl>
  );
}
