/** Numbers as they are read: a true minus, a plus where the sign matters, no idle zeros. */
export function num(value: number, digits = 3, signed = false): string {
  const text = Math.abs(value).toFixed(digits).replace(/(\.\d*?)0+$/, "$1").replace(/\.$/, "");
  if (text === "0") return "0";
  return (value < 0 ? "−" : signed ? "+" : "") + text;
}

/** Digits that a step of this size needs: 0.1 → 1, 0.05 → 2, 5 → 0. */
export function digitsOf(step: number): number {
  for (let d = 0; d < 5; d++) if (Math.abs(step * 10 ** d - Math.round(step * 10 ** d)) < 1e-9) return d;
  return 5;
}

/** "1 entry", "2 entries". */
export function count(n: number, one: string, many = `${one}s`): string {
  return `${n} ${n === 1 ? one : many}`;
}

/** "1 step", "0.9 steps": what is measured, rounded, with its word. */
export function amount(value: number, digits: number, one: string, signed = false): string {
  const text = num(value, digits, signed);
  return `${text} ${/^[−+]?1$/.test(text) ? one : `${one}s`}`;
}

/** "a", "a and b", "a, b and c". */
export function list(words: string[]): string {
  return words.length < 2 ? words.join("") : `${words.slice(0, -1).join(", ")} and ${words[words.length - 1]}`;
}

const clock = new Intl.DateTimeFormat("en-GB", { hour: "2-digit", minute: "2-digit" });
const day = new Intl.DateTimeFormat("en-GB", { day: "numeric", month: "long" });
const dayYear = new Intl.DateTimeFormat("en-GB", { day: "numeric", month: "long", year: "numeric" });

/** "14:05" today, "5 March, 14:05" else. */
export function time(at: string | Date, now = new Date()): string {
  const d = new Date(at);
  if (d.toDateString() === now.toDateString()) return clock.format(d);
  return `${date(d, now)}, ${clock.format(d)}`;
}

export function date(at: string | Date, now = new Date()): string {
  const d = new Date(at);
  return (d.getFullYear() === now.getFullYear() ? day : dayYear).format(d);
}
