/** What a hand would otherwise type again each time, kept in the browser: a convenience, never a record. */
const KEY = "roadproof.remembered.";

export function remembered<T>(name: string): T | null {
  try {
    return JSON.parse(localStorage.getItem(KEY + name) ?? "null") as T | null;
  } catch {
    return null;
  }
}

export function remember(name: string, value: unknown): void {
  try {
    if (value === null) localStorage.removeItem(KEY + name);
    else localStorage.setItem(KEY + name, JSON.stringify(value));
  } catch {
    // A browser without storage asks again.
  }
}
