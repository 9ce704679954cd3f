import type { ComponentChildren } from "preact";
import { clamp, graduationPath, mark, percent, place, whisker, type Scale } from "./geometry";
import { digitsOf, num } from "./number";

const EDGE = 26;
const HEIGHT = 46;

/** Something drawn at a percentage of the width, so that no rule has to know how wide it is. */
export function At({ p, y, children }: { p: number; y?: number; children: ComponentChildren }) {
  return <svg x={percent(p)} y={y} overflow="visible">{children}</svg>;
}

/** A path in a box 1000 wide, stretched to the width of the rule. */
export function Strip({ d, cls, h }: { d: string; cls: string; h: number }) {
  return (
    <svg width="100%" height={h} viewBox={`0 0 1000 ${h}`} preserveAspectRatio="none">
      <path class={cls} d={d} vector-effect="non-scaling-stroke" />
    </svg>
  );
}

export interface RuleProps {
  scale: Scale;
  label: string;
  value?: number | null;
  /** What measuring leaves open, as values; need not be symmetric. */
  whisker?: readonly [number, number] | null;
  /** Go / no-go: the feeler that goes and the one that does not. */
  leaf?: readonly [number, number] | null;
  /** The value handed over, or the reading before. */
  was?: number | null;
  moved?: "yes" | "no" | null;
  /** Drawn on the same rule. */
  over?: ComponentChildren;
}

/** The rule: edge, graduations, bracket, tick, whisker, leaf, witness. */
export function Rule({ scale, label, value, whisker: w, leaf, was, moved, over }: RuleProps) {
  return (
    <svg class="rule" height={HEIGHT} role="img" aria-label={label}>
      <Body scale={scale} />
      {was != null && <Witness scale={scale} value={was} />}
      {was != null && value != null && moved && <Moved scale={scale} from={was} to={value} real={moved === "yes"} />}
      {leaf ? <Leaf scale={scale} low={leaf[0]} high={leaf[1]} /> : null}
      {!leaf && w && <WhiskerMark scale={scale} low={w[0]} high={w[1]} />}
      {!leaf && value != null && <Tick scale={scale} value={value} />}
      {over}
    </svg>
  );
}

function Body({ scale }: { scale: Scale }) {
  const digits = Math.max(digitsOf(scale.minor), ...[scale.lower, scale.upper, scale.middle].map((v) => (v === null ? 0 : digitsOf(v))));
  const limits = [[scale.lower, 1], [scale.upper, -1]] as const;
  const label = (v: number) => num(v, digits, scale.signed);
  const bare = scale.lower === null && scale.upper === null && scale.middle === null;
  return (
    <>
      <rect class="body" width="100%" y={EDGE} height="20" />
      <line class="edge" x1="0" x2="100%" y1={EDGE} y2={EDGE} />
      <Strip d={graduationPath(scale, EDGE)} cls="grad" h={EDGE + 8} />
      {limits.map(([v, d]) => v !== null && (
        <>
          <At p={place(scale, v)}><path class="brk" d={`M${8 * d} 4H0V${EDGE + 7}`} /></At>
          <text class="num" x={percent(place(scale, v))} y="43" text-anchor="middle">{label(v)}</text>
        </>
      ))}
      {scale.middle !== null && <text class="num" x={percent(place(scale, scale.middle))} y="43" text-anchor="middle">{label(scale.middle)}</text>}
      {scale.full !== null && <text class="num" x={percent(place(scale, scale.full))} y="43" text-anchor="middle">{label(scale.full)}</text>}
      {scale.zero && (
        <>
          <At p={place(scale, 0)}><path class="brk" d={`M0 ${EDGE - 9}V${EDGE + 8}`} /></At>
          <text class="num" x={percent(place(scale, 0))} dx="4" y="43">0</text>
        </>
      )}
      {scale.ends && <End words={scale.ends} />}
      {bare && !scale.ends && <End words={[scale.zero ? "" : label(scale.from.value), label(scale.to.value)]} />}
    </>
  );
}

function End({ words }: { words: [string, string] }) {
  return (
    <>
      <text class="num" x="0" dx="2" y="43">{words[0]}</text>
      <text class="num" x="100%" dx="-2" y="43" text-anchor="end">{words[1]}</text>
    </>
  );
}

function Witness({ scale, value }: { scale: Scale; value: number }) {
  const m = mark(scale, value);
  return (
    <At p={m.at}>
      <path class="wit" d={`M-6 1H6L0 10Z M0 10V${EDGE}`} />
      {m.off !== 0 && <Broken side={m.off} />}
    </At>
  );
}

function Moved({ scale, from, to, real }: { scale: Scale; from: number; to: number; real: boolean }) {
  const [a, b] = [clamp(place(scale, from)), clamp(place(scale, to))].sort((x, y) => x - y) as [number, number];
  return <line class={`mv ${real ? "yes" : "no"}`} x1={percent(a)} x2={percent(b)} y1={EDGE - 3} y2={EDGE - 3} />;
}

function Leaf({ scale, low, high }: { scale: Scale; low: number; high: number }) {
  const [a, b] = [clamp(place(scale, low)), clamp(place(scale, high))];
  const off = place(scale, low) > 100 ? 1 : place(scale, high) < 0 ? -1 : 0;
  return (
    <>
      <rect class="leaf" x={percent(a)} width={percent(Math.max(0, b - a))} y="9" height="12" rx="2" />
      {[a, b].map((p) => <At p={p}><path class="lw" d={`M0 4V${EDGE}`} /></At>)}
      {off !== 0 && <At p={off > 0 ? 100 : 0}><Broken side={off} /></At>}
    </>
  );
}

function WhiskerMark({ scale, low, high }: { scale: Scale; low: number; high: number }) {
  const w = whisker(scale, low, high);
  if (!w || low === high) return null;
  return (
    <>
      <line class="wsk" x1={percent(w.from)} x2={percent(w.to)} y1="15" y2="15" />
      {!w.fromOpen && <At p={w.from}><path class="wsk" d="M0 10V20" /></At>}
      {!w.toOpen && <At p={w.to}><path class="wsk" d="M0 10V20" /></At>}
    </>
  );
}

function Tick({ scale, value }: { scale: Scale; value: number }) {
  const m = mark(scale, value);
  return (
    <At p={m.at}>
      <path class="tick" d={`M0 2V${EDGE}`} />
      {m.off !== 0 && <Broken side={m.off} />}
    </At>
  );
}

/** The edge is cut: the value lies farther out than the rule reaches. */
function Broken({ side: s }: { side: -1 | 1 }) {
  return (
    <>
      <path class="gap" d={`M${-10 * s} ${EDGE + 3}l5 -8`} />
      <path class="edge" d={`M${-14 * s} ${EDGE + 5}l6 -10M${-8 * s} ${EDGE + 5}l6 -10`} />
    </>
  );
}
