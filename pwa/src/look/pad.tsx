import { useLayoutEffect, useRef } from "preact/hooks";
import { digitsOf, num } from "./number";
import { hold, holdKey, isHolding, release } from "./type_ahead";

export interface PadProps {
  text: string;
  onText: (text: string) => void;
  /** A promise of false: refused, and still in hand. */
  onKeep: () => unknown;
  step: number;
  signed: boolean;
  /** Where "one step more" starts from when nothing is typed yet. */
  start?: number | null;
  keep?: string;
  /** What stands there was not typed: the first figure replaces it. */
  fresh?: boolean;
  /** Where several pads lie on one page: the keyboard is left alone. */
  quiet?: boolean;
}

const MOST = 9;
/** Nobody has seen a line sooner, and meant what stands ready on it. */
const SEEN_AFTER_MS = 300;

/** Value of what is typed, null while it is not yet a number. */
export function parsePad(text: string): number | null {
  const value = Number(text.replace("−", "-"));
  return text && /\d/.test(text) && Number.isFinite(value) ? value : null;
}

export function press(text: string, key: string): string {
  if (key === "Delete") return text.slice(0, -1) === "−" ? "" : text.slice(0, -1);
  if (key === "±") return text.startsWith("−") ? text.slice(1) : `−${text}`;
  if (text.length >= MOST) return text;
  if (key === ".") return text.includes(".") ? text : `${/\d$/.test(text) ? text : `${text}0`}.`;
  return text === "0" || text === "−0" ? text.slice(0, -1) + key : text + key;
}

export function nudge(text: string, step: number, by: 1 | -1, start?: number | null): string {
  const from = parsePad(text) ?? start ?? 0;
  return num(Math.round(from / step + by) * step, digitsOf(step));
}

/** What a key of the keyboard means on the pad: a comma is a point, a minus changes the sign; null: nothing. */
export function keyFor(key: string, signed: boolean): string | null {
  if (/^\d$/.test(key) || key === "Enter") return key;
  if (key === "." || key === ",") return ".";
  if (key === "Backspace" || key === "Delete") return "Delete";
  return signed && (key === "-" || key === "−") ? "±" : null;
}

/** The keypad. It has no display of its own: the line in hand docks on it. A keyboard types into it as well. */
export function Pad({ text, onText, onKeep, step, signed, start, keep = "Keep", fresh = false, quiet }: PadProps) {
  const figure = (from: string, k: string, isFresh: boolean) => press(isFresh && k !== "Delete" ? "" : from, k);
  const ahead = useRef<string[]>([]);
  /** The last key was a figure: then Enter ends the number, wherever the focus is. */
  const typing = useRef(false);
  const since = useRef(0);
  const enter = (rest: string[] = []) => {
    typing.current = false;
    hold(Promise.resolve(onKeep()), rest);
  };

  useLayoutEffect(() => {
    since.current = performance.now();
    if (quiet) return;
    ahead.current = release();
    // An Enter alone belongs to the line before: some gauges send two. It must not keep what nobody has measured.
    while (ahead.current[0] === "Enter") ahead.current.shift();
  }, []);
  // Not after the next frame: a gauge that types like a keyboard sends its digits faster than the screen is drawn.
  useLayoutEffect(() => {
    if (quiet) return;
    const type = (e: KeyboardEvent) => {
      const target = e.target as HTMLElement;
      if (e.ctrlKey || e.metaKey || e.altKey || /^(INPUT|TEXTAREA|SELECT)$/.test(target.tagName)) return;
      // What is held is for a line that may have a sign where this one has none.
      const key = keyFor(e.key, signed || isHolding());
      if (e.key === "Tab") typing.current = false;
      if (!key) return;
      if (key === "Enter" && !typing.current && target.closest("button,a") && !target.closest(".pad")) return;
      e.preventDefault();
      if (key === "Enter" && !typing.current && !isHolding() && e.timeStamp - since.current < SEEN_AFTER_MS) return;
      if (isHolding()) holdKey(key);
      else if (key === "Enter") enter();
      else {
        typing.current = true;
        onText(figure(text, key, fresh));
      }
    };
    addEventListener("keydown", type);
    typeAhead();
    return () => removeEventListener("keydown", type);
  });

  /** What was typed before this line stood here: its figures in one go, its Enter once they are shown. */
  function typeAhead(): void {
    if (!ahead.current.length) return;
    const end = ahead.current.indexOf("Enter");
    // A sign is for a line that has one; what comes after Enter is for another line.
    const figures = ahead.current.splice(0, end < 0 ? ahead.current.length : end).filter((key) => signed || key !== "±");
    const typed = figures.reduce((all, key, i) => figure(all, key, fresh && i === 0), text);
    if (figures.length) typing.current = true;
    if (typed !== text || (figures.length && fresh)) onText(typed);
    else if (ahead.current.shift() === "Enter") enter(ahead.current.splice(0));
  }

  const key = (k: string, label?: string) => <button type="button" aria-label={label} onClick={() => onText(figure(text, k, fresh && k !== "±"))}>{k}</button>;
  const by = (sign: 1 | -1) => (
    <button type="button" class="f" onClick={() => onText(nudge(text, step, sign, start))}>
      {sign > 0 ? "+" : "−"} {num(step, digitsOf(step))}
    </button>
  );
  return (
    <div class="pad">
      {key("1")}{key("2")}{key("3")}<button type="button" class="f" onClick={() => onText(press(text, "Delete"))}>Delete</button>
      {key("4")}{key("5")}{key("6")}{by(1)}
      {key("7")}{key("8")}{key("9")}{by(-1)}
      {signed ? key("±", "change sign") : <span />}{key("0")}{key(".", "decimal point")}
      <button type="button" class="go f" onClick={() => enter()}>{keep}</button>
    </div>
  );
}
