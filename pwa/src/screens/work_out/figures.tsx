import { useState } from "preact/hooks";
import { num } from "../../look/number";
import { Pad, parsePad } from "../../look/pad";
import { wrong, type Limit } from "../typed";

export interface Figure {
  id: string;
  label: string;
  unit: string;
  /** How to measure it. */
  how?: string | undefined;
  step: number;
  signed?: boolean;
  /** Can be left out. */
  loose?: boolean;
  /** What is known already. */
  known?: number | null | undefined;
  /** Where "one step more" starts from. */
  start?: number | null | undefined;
  /** What the contract allows, where it is kept. */
  limit?: Limit;
}

/** Figures typed one after the other on the keypad. */
export interface Figures {
  list: Figure[];
  value: (id: string) => number | null;
  /** For functions that take what is not known as left out. */
  given: (id: string) => number | undefined;
  /** Back to what is known of it. */
  forget: (id: string) => void;
  text: (id: string) => string;
  type: (id: string, text: string) => void;
  hand: Figure | null;
  take: (id: string | null) => void;
  /** False: what is in hand cannot be, and stays in hand. */
  next: () => Promise<boolean>;
  /** What is wrong with the one in hand, once it was to be left. */
  problem: string | null;
  /** What is wrong with the first of all that cannot be kept. */
  wrong: () => string | null;
}

const DIGITS = 4;
const written = (value: number | null | undefined): string => (value == null ? "" : num(value, DIGITS));

/** The first figure that is needed and not known is in hand; with all known, none is. */
export function useFigures(list: Figure[]): Figures {
  const [typed, setTyped] = useState<Record<string, string>>({});
  const text = (id: string) => typed[id] ?? written(list.find((f) => f.id === id)?.known);
  const value = (id: string) => parsePad(text(id));
  const open = (from: Figure[]) => from.find((f) => !f.loose && value(f.id) === null)?.id ?? null;
  const [hand, setHand] = useState<string | null>(() => open(list));
  const [problem, setProblem] = useState<string | null>(null);
  const wrongWith = (f: Figure) => wrong({ limit: {}, ...f }, text(f.id));
  const type = (id: string, words: string) => {
    setTyped((all) => ({ ...all, [id]: words }));
    setProblem(null);
  };
  const take = (id: string | null) => {
    setHand(id);
    setProblem(null);
  };
  return {
    list, text, value, type, take, problem,
    wrong: () => list.map(wrongWith).find((words) => words !== null) ?? null,
    given: (id) => value(id) ?? undefined,
    forget: (id) => setTyped(({ [id]: _old, ...rest }) => rest),
    hand: list.find((f) => f.id === hand) ?? null,
    next: async () => {
      const i = list.findIndex((f) => f.id === hand);
      const odd = list[i] ? wrongWith(list[i]) : null;
      setProblem(odd);
      if (!odd) take(open([...list.slice(i + 1), ...list.slice(0, Math.max(0, i))]));
      return !odd;
    },
  };
}

/** The figures as planes; the one in hand is docked on the keypad. */
export function FigureGrid({ figures, of = figures.list, label, cols = 3 }: { figures: Figures; of?: Figure[]; label: string; cols?: 2 | 3 }) {
  return (
    <div class={`fig c${cols}`} role="group" aria-label={label}>
      {of.map((f) => (
        <button type="button" key={f.id} class="big col" aria-pressed={figures.hand?.id === f.id} onClick={() => figures.take(figures.hand?.id === f.id ? null : f.id)}>
          <small>{f.label}</small><span>{figures.text(f.id) || (f.loose ? "not given" : "–")}{figures.text(f.id) && f.unit && <i> {f.unit}</i>}</span>
        </button>
      ))}
    </div>
  );
}

/** The figure in hand on its keypad. */
export function FigurePad({ figures }: { figures: Figures }) {
  const [typed, setTyped] = useState<string | null>(null);
  const f = figures.hand;
  if (!f) return null;
  const text = figures.text(f.id);
  const type = (words: string) => {
    setTyped(f.id);
    figures.type(f.id, words);
  };
  return (
    <>
      <div class="now">
        <p class="row sp"><span>{f.label}</span><button type="button" class="flat" onClick={() => figures.take(null)}>Close</button></p>
        <p class={`val dk${text ? "" : " blank"}`}>{text || (f.loose ? "" : "–")}<span class="caret" /><i>{f.unit}</i></p>
        {figures.problem ? <p role="alert">{figures.problem}</p> : f.how && <p class="xs">{f.how}</p>}
      </div>
      <Pad key={f.id} text={text} onText={type} fresh={(typed !== f.id && text !== "") || figures.problem !== null} onKeep={figures.next} step={f.step} signed={!!f.signed} start={f.start ?? null} keep="Next" />
    </>
  );
}
