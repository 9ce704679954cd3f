/** Tabs of one phone: one of them syncs at a time, and each hears when another has changed the database. */

const chain = new Map<string, Promise<unknown>>();

/** Runs `work` while no other tab runs work under the same name. */
export function alone<T>(name: string, work: () => Promise<T>): Promise<T> {
  if (typeof navigator !== "undefined" && navigator.locks) return navigator.locks.request(name, work) as Promise<T>;
  // An old browser: this tab alone is kept in line; the service tells repeats apart anyway.
  const next = (chain.get(name) ?? Promise.resolve()).then(work, work);
  chain.set(name, next.catch(() => undefined));
  return next;
}

const channel = typeof BroadcastChannel === "undefined" ? null : new BroadcastChannel("roadproof");

/** Tells the other tabs that the database has changed. */
export const tellTabs = (): void => channel?.postMessage("changed");

export function onOtherTab(changed: () => void): void {
  channel?.addEventListener("message", changed);
}
