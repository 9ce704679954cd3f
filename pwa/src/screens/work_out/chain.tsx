import { useState } from "preact/hooks";
import { putBike } from "../../book";
import { sizeChain, type ChainSize } from "../../domain/chain";
import { judge } from "../../domain/conformity";
import { LIMITS } from "../../limits";
import { scaleOf } from "../../look/geometry";
import { num } from "../../look/number";
import { QuantityLine } from "../../look/quantity_line";
import { PickOne } from "../../look/touch";
import type { Drivetrain } from "../../nouns";
import { notSaved, useOnce } from "../once";
import { implausible } from "../plausible";
import { FigureGrid, useFigures, type Figure, type Figures } from "./figures";
import { KeepFoot, useKeeping } from "./keeping";
import { cautionText, drivetrainOf, quantityOf, type Place } from "./place";
import { attempt, Reason, Sheet } from "./sheet";

const OF_DRIVE = LIMITS.Drivetrain;
const ALLOWANCES = ["0", "2", "4"].map((id) => ({ id, label: `${id} links` }));

/** Links to cut, over the outer ring and the largest cog; and whether the rear derailleur takes up what is left. */
export function ChainSheet({ place }: { place: Place }) {
  const bike = place.work?.bike;
  const figures = useFigures(asked(drivetrainOf(place), !bike));
  const [allowance, setAllowance] = useState<string | null>(null);
  const [counted, setCounted] = useState<number | null>(null);
  const keeping = useKeeping(place);
  const teeth = (ids: string[]) => ids.map(figures.value).filter((n) => n !== null);
  const { answer: size, reason } = attempt(() => sizeChain({
    rings: bike?.drivetrain.rings ?? teeth(["outer", "inner"]), cogs: bike?.drivetrain.cogs ?? teeth(["large", "small"]),
    chainstay_mm: figures.value("chainstay_mm") ?? NaN, growth_mm: figures.given("growth_mm"), allowance_links: allowance === null ? undefined : Number(allowance),
    rear_capacity: figures.given("rear_capacity"), rear_max_cog: figures.given("rear_max_cog"),
  }));
  const links = counted ?? size?.links_to_cut ?? null;
  const keep = () => {
    const wrong = figures.wrong();
    if (wrong) return keeping.say(wrong);
    if (!links) return keeping.say(reason ?? "Measure the chainstay first.");
    const odd = implausible(place.cat, quantityOf(place.cat, "chain_links")!, links);
    if (odd) return keeping.say(odd);
    keeping.keepAndGo({ kind: "reading", stage: keeping.stage, data: { quantity: "chain_links", value: links, unit: "link" } });
  };
  const known = figures.list.every((f) => f.loose || figures.value(f.id) !== null);

  return (
    <Sheet place={place} title="Chain length" figures={figures} foot={
      <KeepFoot place={place} keeping={keeping} keep={place.work ? (links ? `Keep ${links} links` : "Keep") : null} onKeep={keep} />
    }>
      <p class="note stop mt">{size?.advice ?? cautionText(place, "never_cut_by_numbers")}</p>
      {known && <Reason words={reason} />}
      {size && <Answer size={size} links={links!} cogs={bike?.drivetrain.cogs ?? teeth(["large", "small"])} whole={!!bike || teeth(["inner", "small"]).length === 2} figures={figures} />}
      {size && place.work && (
        <>
          <h2 class="tight">Counted on the bike</h2>
          <div class="row sp mb">
            <button type="button" class="flat big" onClick={() => setCounted(links! - 2)}>2 fewer</button>
            <p class="val">{links}<i>links</i></p>
            <button type="button" class="flat big" onClick={() => setCounted(links! + 2)}>2 more</button>
          </div>
        </>
      )}
      <h2 class="tight">Known of this bike</h2>
      <FigureGrid figures={figures} label="Figures of the chain" />
      <p class="lab mt">More than to where its ends meet</p>
      <PickOne label="Links more" cls="c3" loose choices={ALLOWANCES} value={allowance ?? String(size?.allowance_links ?? 2)} onPick={setAllowance} />
      {place.work && size && <KeepFacts place={place} figures={figures} />}
    </Sheet>
  );
}

function asked(d: Partial<Drivetrain>, alone: boolean): Figure[] {
  const teeth = { unit: "teeth", step: 1, limit: OF_DRIVE.cogs.each };
  return [
    ...(alone ? [
      { id: "outer", label: "Outer ring", ...teeth }, { id: "large", label: "Largest cog", ...teeth },
      { id: "inner", label: "Inner ring", ...teeth, loose: true }, { id: "small", label: "Smallest cog", ...teeth, loose: true },
    ] : []),
    { id: "chainstay_mm", label: "Chainstay", unit: "mm", step: 1, limit: OF_DRIVE.chainstay_mm, known: d.chainstay_mm, start: 415, how: "Middle of the crank axle to middle of the rear axle, along the chainstay." },
    ...(alone || d.suspension ? [{ id: "growth_mm", label: "Suspension adds", unit: "mm", step: 1, loose: true, start: 0, how: "How much longer the chainstay gets, at its longest." }] : []),
    { id: "rear_capacity", label: "Rated capacity", unit: "teeth", step: 1, limit: OF_DRIVE.rear_capacity, known: d.rear_capacity, loose: true, how: "Of the rear derailleur, by its maker." },
    { id: "rear_max_cog", label: "Rated largest cog", unit: "teeth", step: 1, limit: OF_DRIVE.rear_max_cog, known: d.rear_max_cog, loose: true, how: "Of the rear derailleur, by its maker." },
  ];
}

/** `whole`: all rings and cogs are known, not only the largest. */
function Answer({ size, links, cogs, whole, figures }: { size: ChainSize; links: number; cogs: readonly number[]; whole: boolean; figures: Figures }) {
  const cut = size.links_to_cut;
  return (
    <>
      <ul class="qs free mt">
        <QuantityLine name="Links to cut, the connecting link counted" shown={String(cut)} unit="links" verdict={null}
          caption={`${num(size.exact_links, 1)}, so ${cut - size.allowance_links}, and ${size.allowance_links} more`}
          scale={scaleOf({ reference: cut, plausible: [40, 200], minor: 1, major: 2, span: 9 })} value={links} was={size.exact_links}
          spoken={`${num(size.exact_links, 2)} links where the ends meet, ${cut} to cut`} />
      </ul>
      {whole && <Rated name="Capacity the chain needs" need={size.capacity_needed} rated={figures.value("rear_capacity")} why={size.why_not["capacity_ok"]} />}
      <Rated name="Largest cog" need={Math.max(...cogs)} rated={figures.value("rear_max_cog")} why={size.why_not["max_cog_ok"]} />
    </>
  );
}

/** What is needed against what the rear derailleur is rated for, in teeth. */
function Rated({ name, need, rated, why }: { name: string; need: number; rated: number | null; why: string | undefined }) {
  if (rated === null) return <p class="s mt">{name}: <b>{need} teeth</b>. {why}</p>;
  return (
    <ul class="qs mt">
      <QuantityLine name={name} shown={String(need)} unit="teeth" verdict={judge(need, 0, { upper: rated }).verdict} caption={`rated ${rated}`}
        scale={scaleOf({ upper: rated, plausible: [0, 80], minor: 1, major: 5 })} value={need} />
    </ul>
  );
}

const FACTS = ["chainstay_mm", "rear_capacity", "rear_max_cog"] as const;

/** What was measured here belongs to the bike, so that nobody measures it twice. */
function KeepFacts({ place, figures }: { place: Place; figures: Figures }) {
  const [said, setSaid] = useState<string | null>(null);
  const once = useOnce();
  const { seq: _seq, family: _family, updated_at: _at, ...bike } = place.work!.bike;
  const news = FACTS.filter((id) => figures.value(id) !== null && figures.value(id) !== (bike.drivetrain[id] ?? null));
  if (!news.length) return said ? <p class="s mt mb" role="status">{said}</p> : null;
  const keep = () => once(async () => {
    const wrong = figures.wrong();
    if (wrong) return setSaid(wrong);
    const found = Object.fromEntries(news.map((id) => [id, figures.value(id)!]));
    await putBike({ ...bike, drivetrain: { ...bike.drivetrain, ...found } }).then(() => setSaid("Kept with the bike."), (error) => setSaid(notSaved(error)));
  });
  const words = news.map((id) => figures.list.find((f) => f.id === id)!.label.toLowerCase()).join(", ");
  return <>{said && <p class="note stop mt" role="alert">{said}</p>}<button type="button" class="flat full mt mb" onClick={keep}>Keep with the bike: {words}</button></>;
}
