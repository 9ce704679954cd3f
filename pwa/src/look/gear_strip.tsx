export interface Gear { ring: number; cog: number }

/** A ring or cog as one graduation, as long as it has teeth. */
function Teeth({ n, most }: { n: number; most: number }) {
  const h = Math.round(4 + (22 * n) / most);
  return <svg class="cog" width="6" height={h} aria-hidden="true"><path class="done" d={`M3 0V${h}`} /></svg>;
}

interface StripProps {
  rings: number[];
  cogs: number[];
  ring: number | null;
  cog: number | null;
  onGear: (ring: number | null, cog: number | null) => void;
  /** The cogs once for each ring, so that one tap names the gear. */
  each?: boolean;
}

/** Rings and cogs as they lie on the bike seen from behind: outboard left, inboard right. */
export function GearStrip({ rings, cogs, ring, cog, onGear, each }: StripProps) {
  const most = Math.max(...cogs);
  const outer = [...rings].sort((a, b) => b - a);
  const inward = [...cogs].sort((a, b) => a - b);
  const row = (of: number | null) => (
    <div class="cogs">
      {inward.map((n) => (
        <button type="button" class="cg" aria-label={`cog ${n}`} aria-pressed={cog === n && (!each || ring === of)} onClick={() => onGear(of, n)}>{n}<Teeth n={n} most={most} /></button>
      ))}
    </div>
  );
  const ringChoice = () => (
    <div class={outer.length > 2 ? "c3" : "c2"}>
      {outer.map((n) => (
        <button type="button" class="cg" aria-label={`ring ${n}`} aria-pressed={ring === n} onClick={() => onGear(n, cog)}>{n}<Teeth n={n} most={outer[0]!} /></button>
      ))}
    </div>
  );
  return (
    <div role="group" aria-label="Gear: rings and cogs, outboard left, inboard right">
      {outer.length === 1 ? row(outer[0]!)
        : each ? outer.map((n) => <div class="mb" role="group" aria-label={`ring ${n}`}><p class="s">ring {n}</p>{row(n)}</div>)
        : <>{ringChoice()}{row(ring)}</>}
      <p class="xs row sp"><span>outboard</span><span>inboard</span></p>
    </div>
  );
}
