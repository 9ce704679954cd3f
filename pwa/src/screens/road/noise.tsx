import { num } from "../../look/number";
import { PickOne, PickSome } from "../../look/touch";
import { Turns, type TurnMark } from "../../look/turns";
import type { EntryData, Gear } from "../../nouns";
import type { Work } from "../work";

export interface Noise { sound: string | null; when: string[]; count: number | null }

export const noNoise = (): Noise => ({ sound: null, when: [], count: null });

export function noiseData(n: Noise): EntryData["noise"] | null {
  if (!n.sound) return null;
  return { sound: n.sound, when: n.when, ...(n.count === null ? {} : { count_in_ten_turns: n.count }) };
}

/** A noise: what it is, when, and how often in ten pedal turns, against the parts that turn at that rate. */
export function NoiseNote({ work, noise, gear, onNoise }: { work: Work; noise: Noise; gear: Gear | null; onNoise: (n: Noise) => void }) {
  const set = (change: Partial<Noise>) => onNoise({ ...noise, ...change });
  const sound = work.cat.sounds.find((s) => s.id === noise.sound);
  const marks = expected(work, gear);
  return (
    <>
      <h2>A noise</h2>
      <PickOne label="What noise" cls="c3" loose value={noise.sound} onPick={(id) => onNoise(id ? { ...noise, sound: id } : noNoise())} choices={work.cat.sounds} />
      {sound && (
        <>
          <h2>When</h2>
          <PickSome label="When" choices={work.cat.whens} value={noise.when} onPick={(when) => set({ when })} />
          <h2>Counted in ten pedal turns</h2>
          <div class="row sp">
            <button type="button" class="flat big" onClick={() => set({ count: Math.max(0, (noise.count ?? 10) - 1) })}>1 fewer</button>
            <p class="val">{noise.count ?? "–"}<i>{sound.plural ?? sound.label}</i></p>
            <button type="button" class="flat big" onClick={() => set({ count: (noise.count ?? 9) + 1 })}>1 more</button>
          </div>
          {noise.count !== null && (
            <>
              <Turns n={noise.count} marks={marks} label={`${noise.count} in ten turns. ${fit(noise.count, marks)}`} />
              <p class="s">{fit(noise.count, marks)} {gear ? "" : "Choose the gear: the wheel's place depends on it."}</p>
            </>
          )}
        </>
      )}
    </>
  );
}

/** Times in ten pedal turns that each part comes round. */
function expected(work: Work, gear: Gear | null): TurnMark[] {
  const marks: TurnMark[] = [{ at: 10, label: "crank" }, { at: 20, label: "strokes" }];
  if (!gear) return marks;
  marks.push({ at: (10 * gear.ring) / gear.cog, label: "wheel" });
  const links = work.values.find((v) => v.quantity === "chain_links")?.value;
  if (links) marks.push({ at: (10 * gear.ring) / links, label: "chain" });
  return marks;
}

/** Which parts the count fits, within one miscounted noise. */
function fit(n: number, marks: TurnMark[]): string {
  const near = marks.filter((m) => Math.abs(m.at - n) <= 1).map((m) => m.label);
  if (!near.length) return `Sits on none of these: ${marks.map((m) => `${m.label} ${num(m.at, 1)}`).join(", ")}.`;
  return near.length === 1 ? `Sits on the ${near[0]}.` : `Sits on ${near.join(" and ")}: this gear does not tell them apart. Try another.`;
}
