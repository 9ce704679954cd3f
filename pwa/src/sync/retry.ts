/** When to try again: exponential with full jitter, and never before the service's own Retry-After. */
const FIRST_MS = 2_000;
const LAST_MS = 5 * 60_000;
const LONGEST_RETRY_AFTER_MS = 60 * 60_000;

/** A random wait in ms before try number `failures` (1 for the first repeat). */
export function backoff(failures: number, random: () => number = Math.random): number {
  return random() * Math.min(LAST_MS, FIRST_MS * 2 ** Math.max(0, failures - 1));
}

/** Retry-After in ms, given in seconds or as a date (RFC 9110, 10.2.3); null where there is none. */
export function retryAfter(header: string | null, now: number): number | null {
  if (!header) return null;
  const ms = /^\d+$/.test(header.trim()) ? Number(header) * 1000 : Date.parse(header) - now;
  return Number.isNaN(ms) ? null : Math.min(Math.max(0, ms), LONGEST_RETRY_AFTER_MS);
}
