import { GUARD, type Scale } from "../../look/geometry";
import { num } from "../../look/number";
import { Area, frame, Ground, Line, niceStep, offPlot, Put, py, Standing } from "../../look/plot";
import { STAGE_PATH } from "../../look/stage";
import type { Point, Series } from "./series";

interface ChartProps { series: Series[]; scale: Scale; was: number | null; unit: string; label: string; of: Series | undefined }

const DAY = 86_400_000;

interface Axis { x: (p: Point) => number; at: (value: number | string | null | undefined) => number | null; unit: string; words: string }

/** Kilometres where every reading has them, else days since the first reading. A moment finds its place on either. */
function axisOf(points: Point[], of: Series | undefined): Axis {
  const km = points.every((p) => p.odometer_km !== null) && !(of?.slope && of.slope.per.endsWith("d"));
  const moment = (p: Point) => Date.parse(p.taken_at);
  if (km) {
    const byTime = [...points].sort((a, b) => moment(a) - moment(b));
    const at = (value: number | string | null | undefined) => {
      if (value == null || typeof value === "number") return value ?? null;
      const i = byTime.findIndex((p) => moment(p) >= Date.parse(value));
      const [a, b] = [byTime[i - 1], byTime[i]];
      return a && b ? (a.odometer_km! + b.odometer_km!) / 2 : (b?.odometer_km ?? null);
    };
    return { x: (p) => p.odometer_km!, at, unit: "km", words: "kilometres ridden" };
  }
  const first = Math.min(...points.map(moment));
  return {
    x: (p) => (moment(p) - first) / DAY, unit: "d", words: "days since the first reading",
    at: (value) => (typeof value === "string" ? (Date.parse(value) - first) / DAY : null),
  };
}

export function Chart({ series, scale, was, unit, label, of }: ChartProps) {
  const points = series.flatMap((s) => s.points);
  if (!points.length) return null;
  const axis = axisOf(points, of);
  const xs = points.map(axis.x);
  const leaves = axis.at(of?.forecast?.leaves_at);
  const [low, high] = [Math.min(...xs), Math.max(...xs)];
  const reach = leaves !== null ? Math.max(high, leaves + (high - low) * 0.1) : high;
  const step = niceStep(Math.max(reach - low, axis.unit === "d" ? 7 : 100));
  const f = frame(scale, Math.floor(low / step) * step, Math.max(Math.ceil(reach / step) * step, Math.floor(low / step) * step + step));
  const own = (of?.points ?? []).slice().sort((a, b) => axis.x(a) - axis.x(b));
  const newest = points.reduce((a, b) => (a.taken_at > b.taken_at ? a : b));
  const words = points.slice(-8).map((p) => `${num(p.value, 3)} ${unit} ${p.stage}`).join(", ");
  return (
    <>
      <div class="pl">
        <svg class="plot" height={f.height} role="img" aria-label={`${label} over ${axis.words}: ${words}`}>
          <Ground f={f} />
          {was !== null && <Line f={f} a={[f.x0, was]} b={[f.x1, was]} cls="base" />}
          {of && own.length > 1 && <Fit f={f} of={of} own={own} axis={axis} leaves={leaves} />}
          {of?.step && <Jump f={f} of={of} axis={axis} scale={scale} />}
          {own.map((p) => p.u > 0 && <Whisker key={p.entry_id} f={f} x={axis.x(p)} p={p} />)}
          {points.map((p) => (
            <Put key={p.entry_id} f={f} x={axis.x(p)} v={p.value}>
              <path class={`st ${p.stage}`} d={STAGE_PATH[p.stage]} />
              {offPlot(f, p.value) && <path class="edge" d="M-12 6l8 -4M-12 12l8 -4" />}
            </Put>
          ))}
          {leaves !== null && leaves <= f.x1 && scale.lower !== scale.upper && <Leaves f={f} of={of!} x={leaves} scale={scale} axis={axis} />}
        </svg>
        <Standing f={f} value={newest.value} was={was} />
      </div>
      <p class="xs km">{axis.words}</p>
    </>
  );
}

function Whisker({ f, x, p }: { f: ReturnType<typeof frame>; x: number; p: Point }) {
  const mid = py(f, p.value);
  const a = py(f, p.value + GUARD * p.u) - mid;
  const b = py(f, p.value - GUARD * p.u) - mid;
  return <Put f={f} x={x} v={p.value}><path class="wsk" d={`M0 ${a}V${b}M-4 ${a}H4M-4 ${b}H4`} /></Put>;
}

/** The median slope through the readings of the stage, its fan, and how it goes on to the limit. */
function Fit({ f, of, own, axis, leaves }: { f: ReturnType<typeof frame>; of: Series; own: Point[]; axis: Axis; leaves: number | null }) {
  if (!of.slope) return null;
  const per = of.slope.per.startsWith("1000") ? 1000 : 30;
  const after = of.step ? axis.at(of.step.at) : null;
  const used = after === null ? own : own.filter((p) => axis.x(p) >= after);
  if (used.length < 2) return null;
  const slope = of.slope.value / per;
  const mids = used.map((p) => p.value - slope * axis.x(p)).sort((a, b) => a - b);
  const c = (mids[Math.floor((mids.length - 1) / 2)]! + mids[Math.ceil((mids.length - 1) / 2)]!) / 2;
  const [x0, x1] = [axis.x(used[0]!), axis.x(used[used.length - 1]!)];
  const y = (x: number) => c + slope * x;
  const fan = (s: number, x: number) => y(x1) + (s / per) * (x - x1);
  return (
    <>
      {leaves !== null && <Area f={f} cls="fan" points={[[x1, y(x1)], [f.x1, fan(of.slope.low, f.x1)], [f.x1, fan(of.slope.high, f.x1)]]} />}
      <Line f={f} a={[x0, y(x0)]} b={[x1, y(x1)]} cls="fit" />
      {leaves !== null && leaves > x1 && <Line f={f} a={[x1, y(x1)]} b={[Math.min(leaves, f.x1), y(Math.min(leaves, f.x1))]} cls="fit dash" />}
    </>
  );
}

function Jump({ f, of, axis, scale }: { f: ReturnType<typeof frame>; of: Series; axis: Axis; scale: Scale }) {
  const x = axis.at(of.step!.at);
  if (x === null) return null;
  return (
    <Put f={f} x={x} v={scale.to.value}>
      <path class="jump" d="M0 -20V150" /><text class="num nb" x="0" y="-26" text-anchor="middle">jump, {num(of.step!.size, 2, true)}</text>
    </Put>
  );
}

function Leaves({ f, of, x, scale, axis }: { f: ReturnType<typeof frame>; of: Series; x: number; scale: Scale; axis: Axis }) {
  const limit = (of.slope?.value ?? 0) > 0 ? scale.upper : scale.lower;
  if (limit === null) return null;
  const words = axis.unit === "km" ? `leaves at ${Math.round(x).toLocaleString("en-GB")} km` : `leaves in ${Math.round(x)} d`;
  return <Put f={f} x={x} v={limit}><path class="cur" d="M0 -8V8" /><text class="num nb halo" x="10" y="24" text-anchor="end">{words}</text></Put>;
}
