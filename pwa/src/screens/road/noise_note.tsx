import { PickOne, PickSome } from "../../look/touch";
import type { Gear } from "../../nouns";
import { useLater } from "../later";
import type { Work } from "../work";
import { noNoise, type Noise } from "./noise";

/** A noise: what it is, when, and how often in ten pedal turns, against the parts that turn at that rate. */
export function NoiseNote({ work, noise, gear, onNoise }: { work: Work; noise: Noise; gear: Gear | null; onNoise: (n: Noise) => void }) {
  const set = (change: Partial<Noise>) => onNoise({ ...noise, ...change });
  const sound = work.cat.sounds.find((s) => s.id === noise.sound);
  const later = useLater(() => import("../work_out/count_says"));
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
            <button type="button" class="flat big" onClick={() => set({ count: Math.max(0, (noise.count ?? 1) - 1) })}>1 fewer</button>
            <p class="val">{noise.count ?? "–"}<i>{sound.plural ?? sound.label}</i></p>
            <button type="button" class="flat big" onClick={() => set({ count: (noise.count ?? 0) + 1 })}>1 more</button>
          </div>
          {noise.count !== null && (gear
            ? later && <later.CountSays work={work} gear={gear} count={noise.count} coasting={noise.when.includes("coasting")} />
            : <p class="s">Choose the gear it was judged in: the wheel's pace depends on it.</p>)}
        </>
      )}
    </>
  );
}
