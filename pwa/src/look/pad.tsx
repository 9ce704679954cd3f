import { useLayoutEffect } from "preact/hooks";
import { digitsOf, num } from "./number";

export interface PadProps {
  text: string;
  onText: (text: string) => void;
  onKeep: () => void;
  step: number;
  signed: boolean;
  /** Where "one step more" starts from when nothing is typed yet. */
  start?: number | null;
  keep?: string;
  /** Where several pads lie on one page: the keyboard is left alone. */
  quiet?: boolean;
}

const MOST = 9;

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

/** The keypad. It has no display of its own: the line in hand docks on it. A keyboard types into it as well. */
export function Pad({ text, onText, onKeep, step, signed, start, keep = "Keep", quiet }: PadProps) {
  // Not after the next frame: a gauge that types like a keyboard sends its digits faster than the screen is drawn.
  useLayoutEffect(() => {
    if (quiet) return;
    const type = (e: KeyboardEvent) => {
      const target = e.target as HTMLElement;
      if (e.ctrlKey || e.metaKey || e.altKey || /^(INPUT|TEXTAREA|SELECT)$/.test(target.tagName)) return;
      const key = e.key === "," ? "." : e.key === "Backspace" ? "Delete" : e.key === "-" ? "±" : e.key;
      if (e.key === "Enter") {
        if (target.closest("button,a") && !target.closest(".pad")) return;
        onKeep();
      } else if (/^\d$/.test(key) || key === "." || key === "Delete" || (key === "±" && signed)) onText(press(text, key));
      else return;
      e.preventDefault();
    };
    addEventListener("keydown", type);
    return () => removeEventListener("keydown", type);
  }, [text, signed, onText, onKeep, quiet]);

  const key = (k: string, label?: string) => <button type="button" aria-label={label} onClick={() => onText(press(text, k))}>{k}</button>;
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
      <button type="button" class="go f" onClick={onKeep}>{keep}</button>
    </div>
  );
}
