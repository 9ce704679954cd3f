import { useState } from "preact/hooks";
import { gearTable, missingLines, type Lines } from "../../domain/gears";
import { num } from "../../look/number";
import { PickOne } from "../../look/touch";
import { FigureGrid, useFigures, type Figure } from "./figures";
import { KeepFoot, useKeeping } from "./keeping";
import { drivetrainOf, type Place } from "./place";
import { attempt, Reason, Sheet } from "./sheet";

/** Ratio, development and chain angle of each gear. */
export function GearsSheet({ place }: { place: Place }) {
  const d = drivetrainOf(place);
  const wheel = place.work?.bike.wheel;
  const alone: Figure[] = place.work ? [] : [{ id: "ring", label: "Ring", unit: "teeth", step: 1, start: 40 }, { id: "cog", label: "Cog", unit: "teeth", step: 1, start: 17 }];
  const line = (id: keyof Lines, label: string, start: number, step = 0.5): Figure => ({ id, label, unit: "mm", step, known: d[id], loose: true, start });
  const figures = useFigures([
    ...alone,
    { id: "circumference", label: "Wheel, rolled out", unit: "mm", step: 5, known: wheel?.circumference_mm, start: 2100, how: "One turn of the rear wheel under the rider's weight." },
    line("chainline_mm", "Chainline", 45), line("ring_spacing_mm", "Between rings", 8), line("cassette_line_mm", "Cassette line", 44), line("cog_pitch_mm", "Between cogs", 4, 0.05), line("chainstay_mm", "Chainstay", 415, 1),
  ]);
  const keeping = useKeeping(place);
  const rings = d.rings ?? [figures.value("ring")].filter((n) => n !== null);
  const cogs = d.cogs ?? [figures.value("cog")].filter((n) => n !== null);
  const [ring, setRing] = useState<number | null>(null);
  const shownRing = ring ?? (rings.length ? Math.max(...rings) : null);
  const lines: Lines = Object.fromEntries((["chainline_mm", "ring_spacing_mm", "cassette_line_mm", "cog_pitch_mm", "chainstay_mm"] as const).map((id) => [id, figures.value(id)]));
  const circumference = figures.value("circumference");
  const { answer: table, reason } = attempt(() => gearTable(rings, cogs, circumference ?? NaN, lines));
  return (
    <Sheet place={place} title="Gears" figures={figures} foot={
      <>
        {rings.length > 1 && (
          <PickOne label="Ring" cls={rings.length > 2 ? "c3 tight0" : "c2 tight0"} choices={rings.map((n) => ({ id: String(n), label: `ring ${n}` }))} value={String(shownRing)} onPick={(id) => id && setRing(Number(id))} />
        )}
        <KeepFoot place={place} keeping={keeping} keep={null} onKeep={() => undefined} />
      </>
    }>
      {table ? (
        <table class="mt">
          <thead><tr><th scope="col">cog</th><th scope="col" class="r">ratio</th><th scope="col" class="r">m a turn</th><th scope="col" class="r">chain angle</th></tr></thead>
          <tbody>
            {table.filter((g) => g.ring === shownRing).map((g) => (
              <tr key={g.cog}>
                <th scope="row">{g.cog}</th><td class="r">{g.ratio.toFixed(2)}</td><td class="r">{g.development_m.toFixed(2)}</td>
                <td class="r">{g.chain_angle_deg === null ? "–" : `${num(g.chain_angle_deg, 1, true)}°`}</td>
              </tr>
            ))}
          </tbody>
        </table>
      ) : circumference !== null && <Reason words={reason} />}
      {table && <p class="s mt mb">{missingLines(rings, lines) ?? "The angle is positive where the chain runs outboard to the rear."}</p>}
      <FigureGrid figures={figures} label="Figures of the bike" />
    </Sheet>
  );
}
