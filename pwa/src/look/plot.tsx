import type { ComponentChildren } from "preact";
import { clamp, graduations, LOWER_AT, percent, place, UPPER_AT, type Scale } from "./geometry";
import { digitsOf, num } from "./number";
import { At, Strip } from "./rule";

/** A chart whose width is free: x in percent, y in pixels. Its height is a rule on end, limits at 30 and 70 %. */
export interface Frame {
  scale: Scale;
  x0: number;
  x1: number;
  height: number;
  top: number;
  bottom: number;
  left: number;
}

export function frame(scale: Scale, x0: number, x1: number, height = 330): Frame {
  return { scale, x0, x1: x1 > x0 ? x1 : x0 + 1, height, top: 4, bottom: 30, left: 3 };
}

export const px = (f: Frame, x: number): number => f.left + ((x - f.x0) / (f.x1 - f.x0)) * (100 - f.left);
const yAt = (f: Frame, p: number): number => f.height - f.bottom - (p / 100) * (f.height - f.bottom - f.top);
/** Pixels from the top; a value beyond the rule stands at its end. */
export const py = (f: Frame, value: number): number => yAt(f, clamp(place(f.scale, value)));
export const offPlot = (f: Frame, value: number): boolean => place(f.scale, value) > 100.01 || place(f.scale, value) < -0.01;

export function Line({ f, a, b, cls }: { f: Frame; a: readonly [number, number]; b: readonly [number, number]; cls: string }) {
  return <line class={cls} x1={percent(px(f, a[0]))} y1={py(f, a[1])} x2={percent(px(f, b[0]))} y2={py(f, b[1])} />;
}

export function Area({ f, points, cls }: { f: Frame; points: (readonly [number, number])[]; cls: string }) {
  const d = points.map(([x, v], i) => `${i ? "L" : "M"}${(px(f, x) * 10).toFixed(1)} ${py(f, v).toFixed(1)}`).join("");
  return <Strip d={`${d}Z`} cls={cls} h={f.height} />;
}

export function Put({ f, x, v, children }: { f: Frame; x: number; v: number; children: ComponentChildren }) {
  return <At p={px(f, x)} y={py(f, v)}>{children}</At>;
}

/** Round steps of 1, 2 or 5 so that about `lines` labels fit. */
export function niceStep(span: number, lines = 5): number {
  const rough = span / lines;
  const base = 10 ** Math.floor(Math.log10(rough));
  return [1, 2, 5, 10].map((k) => k * base).find((s) => s >= rough)!;
}

/** Band, its limits, and the x axis with graduations in its own unit. */
export function Ground({ f, from = 0 }: { f: Frame; from?: number }) {
  const { lower, upper } = f.scale;
  const step = niceStep(f.x1 - f.x0);
  const minor = step / 5;
  const base = f.height - f.bottom;
  let d = "";
  for (let k = Math.ceil((f.x0 - from) / minor - 1e-6); from + k * minor <= f.x1 + 1e-6 * step; k++) d += `M${(px(f, from + k * minor) * 10).toFixed(1)} ${base}v${k % 5 ? 4 : 8}`;
  const labels: number[] = [];
  for (let k = Math.ceil((f.x0 - from) / step - 1e-6); from + k * step <= f.x1 + 1e-6 * step; k++) labels.push(k * step || 0);
  const top = upper === null ? f.top : yAt(f, UPPER_AT);
  const foot = lower === null ? (f.scale.zero ? py(f, 0) : base) : yAt(f, LOWER_AT);
  return (
    <>
      {(lower !== null || upper !== null) && <rect class="band" x={percent(f.left)} width={percent(100 - f.left)} y={top} height={foot - top} />}
      {upper !== null && <line class="lim" x1={percent(f.left)} x2="100%" y1={top} y2={top} />}
      {lower !== null && <line class="lim" x1={percent(f.left)} x2="100%" y1={foot} y2={foot} />}
      <line class="edge" x1={percent(f.left)} x2="100%" y1={base} y2={base} />
      <Strip d={d} cls="grad" h={f.height} />
      {labels.map((v) => {
        const p = px(f, from + v);
        return <text class="num" x={percent(p)} y={base + 24} text-anchor={p < 6 ? "start" : p > 94 ? "end" : "middle"}>{v.toLocaleString("en-GB").replace("-", "−")}</text>;
      })}
    </>
  );
}

/** The rule of the quantity stood on end, right of the chart. */
export function Standing({ f, value, was }: { f: Frame; value?: number | null; was?: number | null }) {
  const { scale } = f;
  const digits = Math.max(digitsOf(scale.minor), ...[scale.lower, scale.upper, scale.middle].map((v) => (v === null ? 0 : digitsOf(v))));
  const d = graduations(scale).map((g) => `M1 ${yAt(f, g.at).toFixed(1)}h${g.long ? 8 : 4}`).join("");
  const base = f.height - f.bottom;
  const label = (v: number) => num(v, digits, scale.signed);
  return (
    <svg class="stand" width="44" height={f.height} aria-hidden="true">
      <path class="body" d={`M1 ${f.top}H44V${base}H1Z`} />
      <path class="grad" d={d} /><path class="edge" d={`M1 ${f.top}V${base}`} />
      {([[scale.lower, -1], [scale.upper, 1]] as const).map(([v, e]) => v !== null && (
        <><path class="brk" d={`M-22 ${py(f, v) + 8 * e}V${py(f, v)}H11`} /><text class="num nb" x="15" y={py(f, v) + 5}>{label(v)}</text></>
      ))}
      {scale.middle !== null && <text class="num nb" x="15" y={py(f, scale.middle) + 5}>{label(scale.middle)}</text>}
      {scale.lower === null && scale.upper === null && scale.middle === null && (
        <><text class="num nb" x="12" y={base - 2}>{label(scale.from.value)}</text><text class="num nb" x="12" y={f.top + 12}>{label(scale.to.value)}</text></>
      )}
      {was != null && <path class="wit" d={`M0 ${py(f, was)}l10 -6v12z`} />}
      {value != null && <path class="tick" d={`M-26 ${py(f, value)}H1`} />}
    </svg>
  );
}
