import type { ComponentChildren } from "preact";
import { useEffect, useRef } from "preact/hooks";
import { Page } from "../page";
import { go } from "../route";
import { ShopIndex } from "../shop_index";
import { ROOMY, useWide } from "../wide";
import { PageChoice, PAGES, Tabs } from "../workshop/pages";
import type { Kept } from "./kept";

interface RoomProps {
  at: (typeof PAGES)[number]["id"];
  aside?: ComponentChildren;
  kept: Pick<Kept<unknown>, "answer" | "problem" | "said" | "again">;
  list: ComponentChildren;
  /** What can be done with the whole: above the list on a desktop, below it on a phone. */
  acts?: ComponentChildren;
  /** What is open for reading or changing; on a phone it takes the list's place. */
  open?: Open | null;
  /** On a phone both, one below the other. */
  both?: boolean;
}

export interface Open {
  name: string;
  body: ComponentChildren;
  /** What can be done with it: below it. */
  acts?: ComponentChildren;
}

/** A page of what the shop keeps: its list, and what is open beside it. On a phone one of the two. */
export function Room({ at, aside, kept, list, acts, open, both }: RoomProps) {
  const roomy = useWide(ROOMY);
  const held = useRef<HTMLDivElement>(null);
  useEffect(() => {
    // The row that is open stays in sight in its list.
    const [box, row] = [held.current, held.current?.querySelector<HTMLElement>("[aria-current]")];
    if (box && row) box.scrollTop = row.offsetTop - box.offsetTop - box.clientHeight / 2;
  }, [!!kept.answer]);
  const page = PAGES.find((p) => p.id === at)!.label;
  const alone = !roomy && !both && !!open;
  const said = kept.problem && <p class="note stop" role="alert">{kept.problem}{!kept.answer && <> <button type="button" onClick={kept.again}>Try again</button></>}</p> || (kept.said && <p class="note" role="status">{kept.said}</p>);
  const here = `#/workshop/${at}`;
  return (
    <Page title={alone ? open.name : page} cls="fill wide" aside={alone ? "" : aside} foot={
      <>
        {!roomy && kept.answer && <>{said}{alone ? <div class="row"><a class="b big" href={here}>Back</a>{open.acts}</div> : acts}</>}
        {!roomy && !alone && <PageChoice at={at} />}
        <ShopIndex at="workshop" />
      </>
    }>
      {roomy && <Tabs at={at} />}
      {!kept.answer && (kept.problem ? <div class="mt">{said}</div> : <p class="s mt" role="status">Asking the service…</p>)}
      {kept.answer && (
        <div class="beside">
          {!alone && <div ref={held} class={both || !open ? "" : "held"}>{roomy && acts && <div class="mt mb">{acts}</div>}{list}</div>}
          {open && <div>{!alone && !both && <h2>{open.name}</h2>}{open.body}{roomy && <>{said && <div class="mt">{said}</div>}{open.acts && <div class="row mt3">{open.acts}</div>}</>}</div>}
        </div>
      )}
    </Page>
  );
}

/** After something was kept: on a desktop it stays open, on a phone its list shows again. */
export const goOn = (list: string, id: string): void => go(matchMedia(ROOMY).matches ? `${list}/${id}` : list);

/** What is open: as the address says; on a desktop the first, where it says nothing. */
export function useOpen(id: string | undefined, first: string | undefined): string | undefined {
  const roomy = useWide(ROOMY);
  return id ?? (roomy ? first : undefined);
}
