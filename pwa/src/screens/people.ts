/** The people of the shop, as last heard; kept so that the name can be switched without a signal. */
import { signal } from "@preact/signals";
import { api, person, session, signal as signalState } from "../book";

export interface Person { id: string; name: string; role: string; active: boolean }

const KEY = "roadproof.people";

function kept(): Person[] {
  try {
    return JSON.parse(localStorage.getItem(KEY) ?? "[]") as Person[];
  } catch {
    return [];
  }
}

export const people = signal<Person[]>(kept());

export async function fetchPeople(): Promise<void> {
  try {
    const found = (await api.get<{ people: Person[] }>("/people")).people.filter((p) => p.active);
    people.value = found;
    localStorage.setItem(KEY, JSON.stringify(found));
  } catch {
    // What was heard last goes on.
  }
}

let asked = false;

/** Asks once, while there is a signal; the names heard last stand there meanwhile. */
export function askPeople(): void {
  if (asked || signalState.value === "no_signal") return;
  asked = true;
  void fetchPeople();
}

/** Who is logging on this phone now. */
export const whoLogs = (): string | null => person.value ?? session.value?.personId ?? null;
export const nameOf = (id: string | null): string => people.value.find((p) => p.id === id)?.name ?? "this phone's person";
