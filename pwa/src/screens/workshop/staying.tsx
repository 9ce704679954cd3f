import { percent } from "../../look/geometry";
import { niceStep } from "../../look/plot";
import { At, Strip } from "../../look/rule";
import type { StayingOut } from "./answers";

const TOP = 10;
const BASE = 230;
const HEIGHT = 262;
const LEFT = 13;
const DASHES = ["fit", "fit dash"];

/** Share of jobs not yet back over the days (Kaplan-Meier); short strokes are jobs not back so far. Told apart by dashes and by name. */
export function Staying({ groups }: { groups: { name: string; staying: StayingOut }[] }) {
  if (!groups.length) return <p class="s">A curve needs jobs that were handed over, and some that came back.</p>;
  const days = groups.flatMap((g) => [...g.staying.days, ...g.staying.not_back_days]);
  const step = niceStep(Math.max(30, ...days), 5);
  const right = Math.ceil(Math.max(30, ...days) / step) * step;
  const lowest = Math.min(...groups.flatMap((g) => g.staying.share), 0.95);
  const floor = Math.max(0, Math.floor(lowest * 5 - 0.01) / 5);
  const x = (d: number) => LEFT + (d / right) * (100 - LEFT);
  const y = (share: number) => TOP + ((1 - share) / (1 - floor)) * (BASE - TOP);
  const rows = Array.from({ length: 5 }, (_, i) => 1 - (i * (1 - floor)) / 4);
  const minor = Array.from({ length: right / (step / 5) + 1 }, (_, i) => `M${(x((i * step) / 5) * 10).toFixed(1)} ${BASE}v${i % 5 ? 4 : 8}`).join("");
  return (
    <>
      <svg class="plot" height={HEIGHT} role="img" aria-label={groups.map((g) => `${g.name}: ${percentOf(last(g.staying))} not yet back`).join("; ")}>
        {rows.map((s) => (
          <>
            <line class="hl" x1={percent(LEFT)} x2="100%" y1={y(s)} y2={y(s)} />
            <text class="num" x="0" y={y(s) + 4}>{percentOf(s)}</text>
          </>
        ))}
        <line class="edge" x1={percent(LEFT)} x2="100%" y1={BASE} y2={BASE} />
        <Strip d={minor} cls="grad" h={HEIGHT} />
        {Array.from({ length: right / step + 1 }, (_, i) => (
          <text class="num" x={percent(x(i * step))} y={BASE + 24} text-anchor={i * step === right ? "end" : "middle"}>{i * step}</text>
        ))}
        {groups.map((g, k) => <Curve key={g.name} staying={g.staying} name={g.name} cls={DASHES[k % 2]!} x={x} y={y} right={right} below={k > 0} />)}
      </svg>
      <p class="xs r">days since handover; short strokes: not back so far</p>
    </>
  );
}

interface CurveProps { staying: StayingOut; name: string; cls: string; x: (d: number) => number; y: (s: number) => number; right: number; below: boolean }

function Curve({ staying, name, cls, x, y, right, below }: CurveProps) {
  const end = Math.min(right, Math.max(...staying.days, ...staying.not_back_days, 0));
  let d = `M${x(0) * 10} ${y(1)}`;
  let share = 1;
  staying.days.forEach((day, i) => {
    d += `L${(x(day) * 10).toFixed(1)} ${y(share).toFixed(1)}`;
    share = staying.share[i]!;
    d += `L${(x(day) * 10).toFixed(1)} ${y(share).toFixed(1)}`;
  });
  d += `L${(x(end) * 10).toFixed(1)} ${y(share).toFixed(1)}`;
  const at = (day: number) => staying.share[staying.days.filter((t) => t <= day).length - 1] ?? 1;
  return (
    <>
      <Strip d={d} cls={cls} h={HEIGHT} />
      {staying.not_back_days.map((day) => <At p={x(day)} y={y(at(day))}><path class="lw" d="M0 -6V0" /></At>)}
      <At p={Math.min(92, x(end * 0.7))} y={y(at(end * 0.7))}><text class="num nb halo" x="0" y={below ? 20 : -9} text-anchor="middle">{name}, {percentOf(share)}</text></At>
    </>
  );
}

const last = (s: StayingOut): number => s.share.at(-1) ?? 1;
const percentOf = (share: number): string => `${Math.round(share * 100)} %`;
