import type { Catalogue } from "../../catalogue";
import type { Drivetrain, Gear } from "../../nouns";
import { labelOf } from "../entry_words";
import type { ShiftCheck } from "./tried";
import { into, same } from "./walk";

interface GridProps {
  cat: Catalogue;
  drivetrain: Drivetrain;
  found: ReadonlyMap<string, ShiftCheck>;
  at: Gear;
  next: Gear | null;
  onGear: (gear: Gear) => void;
}

/** Rings and cogs to tap through, as they lie on the bike. Each shows how the shifts into it went, from either side. */
export function ShiftGrid({ cat, drivetrain, found, at, next, onGear }: GridProps) {
  const rings = [...drivetrain.rings].sort((a, b) => b - a);
  const cogs = [...drivetrain.cogs].sort((a, b) => a - b);
  const cell = (gear: Gear, front: boolean) => (
    <Cell key={front ? gear.ring : gear.cog} cat={cat} n={front ? gear.ring : gear.cog} word={front ? "ring" : "cog"} here={same(gear, at)} next={!front && !!next && same(gear, next)}
      sides={[into(found, gear, front, -1), into(found, gear, front, 1)]} onPick={() => onGear(gear)} />
  );
  return (
    <div role="group" aria-label="Gear it went to: rings and cogs, outboard left, inboard right">
      {rings.length > 1 && <div class={rings.length > 2 ? "c3" : "c2"}>{rings.map((ring) => cell({ ring, cog: at.cog }, true))}</div>}
      <div class="shifts">{cogs.map((cog) => cell({ ring: at.ring, cog }, false))}</div>
      <p class="xs row sp"><span>outboard</span><span>inboard</span></p>
    </div>
  );
}

interface CellProps {
  cat: Catalogue;
  n: number;
  word: "ring" | "cog";
  here: boolean;
  next: boolean;
  sides: [ShiftCheck | null, ShiftCheck | null];
  onPick: () => void;
}

function Cell({ cat, n, word, here, next, sides, onPick }: CellProps) {
  const said = sides.flatMap((e) => (e ? [`from ${word === "ring" ? e.data.from.ring : e.data.from.cog} ${labelOf(cat.outcomes, e.data.outcome)}`] : []));
  return (
    <button type="button" class={`cg${here ? " here" : ""}${next ? " next" : ""}`} aria-current={here ? "true" : undefined}
      aria-label={[`${word} ${n}`, ...(here ? ["it is here"] : []), ...said].join(", ")} onClick={onPick}>
      <b>{n}</b>
      <svg width="100%" height="34" aria-hidden="true">
        <line class="edge" x1="0" x2="100%" y1="33" y2="33" />
        {sides.map((e, i) => <Mark cat={cat} check={e} x={i ? "73%" : "27%"} />)}
      </svg>
    </button>
  );
}

/** Untried: a graduation. Clean: a full stroke. Anything else: an open box, crossed. The letters say which. */
function Mark({ cat, check, x }: { cat: Catalogue; check: ShiftCheck | null; x: string }) {
  const outcome = check?.data.outcome;
  return (
    <svg x={x} overflow="visible">
      {!outcome ? <path class="grad" d="M0 28V33" />
        : outcome === "clean" ? <path class="done" d="M0 17V33" />
        : <><path class="todo" d="M-6 19H6V32H-6Z" /><path class="lw" d="M-6 32L6 19" /></>}
      {outcome && <text class="num" y="12" text-anchor="middle">{codeOf(cat, outcome)}</text>}
    </svg>
  );
}

/** Two letters where the word does not fit. */
export const codeOf = (cat: Catalogue, outcome: string): string =>
  cat.outcomes.find((o) => o.id === outcome)?.code ?? labelOf(cat.outcomes, outcome).slice(0, 2);
