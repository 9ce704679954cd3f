import { GUARD } from "./geometry";

export interface Tip { clock: number; gap: number }
export interface Tilt { mean: number; a: number; b: number; /** Standard uncertainty of one tip, mm. */ u: number; determined: boolean }

const RIM = 122;
const STRAIGHT = 86;

function polar(r: number, clock: number): [number, number] {
  const t = (clock * Math.PI) / 6;
  return [r * Math.sin(t), -r * Math.cos(t)];
}

const xy = ([x, y]: [number, number]) => `${x.toFixed(1)} ${y.toFixed(1)}`;

const LINES = Array.from({ length: 60 }, (_, i) => `M${xy(polar(RIM, i / 5))}L${xy(polar(RIM + (i % 5 ? 6 : 12), i / 5))}`).join("");

/** Pixels a millimetre: 18 as drawn for ordinary bends, less where a large one would leave the face. */
function pixels(tips: Tip[], mean: number): number {
  const far = Math.max(0.1, ...tips.map((t) => Math.abs(t.gap - mean)));
  return Math.min(18, 32 / far);
}

/**
 * Clock face of the hanger: the rim's ring, the readings, the fitted tilt as an offset circle, its band as a small ring.
 * Readings without a fit yet are shown against their mean.
 */
export function Dial({ tips, tilt, limit, label }: { tips: Tip[]; tilt: Tilt | null; limit: number | null; label: string }) {
  const mean = tilt?.mean ?? (tips.length ? tips.reduce((s, t) => s + t.gap, 0) / tips.length : 0);
  const k = pixels(tips, mean);
  const u = tilt?.u ?? 0;
  // Words stand on the side away from the lean, where neither its mark nor a reading comes.
  const below = !tilt || tilt.a >= 0;
  const away = polar(STRAIGHT + 16, awayFrom(tilt));
  const bandAt = limit === null ? 0 : (limit / 2) * k;
  return (
    <svg class="dial" viewBox="-176 -162 352 326" role="img" aria-label={label}>
      <circle class="body" r="136" /><circle class="grd" r={RIM} /><path class="grad" d={LINES} /><circle class="edge" r={RIM} />
      {[12, 3, 6, 9].map((t) => {
        const [x, y] = polar(150, t);
        return <text class="big-n" x={Math.round(x)} y={Math.round(y + 7)} text-anchor="middle">{t}</text>;
      })}
      <circle class="true" r={STRAIGHT} />
      {limit !== null && <><circle class="brk" r={bandAt} /><path class="grad" d="M-7 0H7M0 -7V7" /></>}
      {tilt && <Offset tilt={tilt} k={k} />}
      {tips.map((t) => {
        const w = GUARD * u * k;
        return (
          <g transform={`rotate(${30 * t.clock}) translate(0 ${(-(STRAIGHT + (t.gap - mean) * k)).toFixed(1)})`}>
            {w > 0 && <path class="wsk" d={`M0 ${-w}V${w}M-5 ${-w}H5M-5 ${w}H5`} />}
            <path class="tick" d="M-11 0H11" />
          </g>
        );
      })}
      <text class="num halo" x={away[0]} y={away[1] + 4} text-anchor="middle">straight</text>
      {limit !== null && <text class="num halo" y={below ? bandAt + 15 : -bandAt - 6} text-anchor="middle">band</text>}
    </svg>
  );
}

/** Half past the hour between two of the four places, on the side opposite to the lean. */
function awayFrom(tilt: Tilt | null): number {
  if (!tilt) return 7.5;
  return tilt.a >= 0 ? (tilt.b >= 0 ? 7.5 : 4.5) : tilt.b >= 0 ? 10.5 : 1.5;
}

function Offset({ tilt, k }: { tilt: Tilt; k: number }) {
  const size = Math.hypot(tilt.a, tilt.b);
  const clock = (Math.atan2(tilt.b, tilt.a) * 6) / Math.PI;
  const u = tilt.u / Math.SQRT2;
  const [x, y] = polar(size * k, clock);
  const reach = Math.min(6, (Math.atan2(GUARD * u, size) * 6) / Math.PI);
  return (
    <>
      <circle class="fit" cx={x} cy={y} r={STRAIGHT} />
      <circle class="wsk" cx={x} cy={y} r={GUARD * u * k} /><circle class="leaf" cx={x} cy={y} r="2.5" />
      {tilt.determined && (
        <>
          <path class="arc" d={`M${xy(polar(129, clock - reach))}A129 129 0 0 1 ${xy(polar(129, clock + reach))}`} />
          <path class="arc" d={`M${xy(polar(112, clock))}L${xy(polar(136, clock))}`} />
        </>
      )}
    </>
  );
}

/** The hanger from behind: true line, bent line, wheel. Positive: the lower end leans toward the wheel. */
export function HangerBehind({ degrees }: { degrees: number }) {
  const lean = Math.max(-26, Math.min(26, degrees * 72));
  const tilt = `${Math.abs(degrees).toFixed(2)}°`;
  const way = Math.abs(degrees) < 0.005 ? "straight" : degrees > 0 ? "the lower end leans toward the wheel" : "the lower end leans away from the wheel";
  return (
    <svg class="tilt" width="104" height="126" viewBox="0 0 104 126" role="img" aria-label={`Seen from behind: ${way}, tilt ${tilt}`}>
      <path class="body" d="M2 0H16V104H2Z" /><path class="edge" d="M16 0V104M2 0V104" />
      <path class="true" d="M72 8V104" /><path class="fit" d={`M72 8L${72 - lean} 104`} /><circle class="leaf" cx="72" cy="8" r="5" />
      <text class="num" x="0" y="122">wheel</text><text class="num nb" x="48" y="122">tilt {tilt}</text>
    </svg>
  );
}
