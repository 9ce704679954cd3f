/** Light by day, dark in the stand, or as the phone has it. */
import { effect, signal } from "@preact/signals";

export type Theme = "phone" | "light" | "dark";

const KEY = "roadproof.theme";
export const THEMES: { id: Theme; label: string }[] = [
  { id: "phone", label: "as the phone" }, { id: "light", label: "light" }, { id: "dark", label: "dark" },
];

function read(): Theme {
  try {
    const kept = localStorage.getItem(KEY);
    return kept === "light" || kept === "dark" ? kept : "phone";
  } catch {
    return "phone";
  }
}

export const theme = signal<Theme>(read());

export function applyTheme(): void {
  effect(() => {
    const root = document.documentElement;
    if (theme.value === "phone") delete root.dataset["theme"];
    else root.dataset["theme"] = theme.value;
    try {
      localStorage.setItem(KEY, theme.value);
    } catch {
      // A browser without storage still shows the theme until it is closed.
    }
  });
}
