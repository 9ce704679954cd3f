/**
 * Keys that come while a value is being kept. A gauge that types like a keyboard does not wait for the write: what it sends
 * meanwhile belongs to the line that comes in hand next.
 */

/** From the end of the write until the next line stands there; after that nothing is in hand. */
const NEXT_LINE_WITHIN_MS = 1000;

let held: string[] | null = null;

export const isHolding = (): boolean => held !== null;
export const holdKey = (key: string): void => void held?.push(key);

/** Holds keys until a line comes in hand. A write that resolves to false was refused: what came after it is dropped. */
export function hold(keeping: Promise<unknown>, rest: string[] = []): void {
  const own = (held = rest);
  const drop = () => {
    if (held === own) held = null;
  };
  keeping.then((kept) => (kept === false ? drop() : setTimeout(drop, NEXT_LINE_WITHIN_MS)), drop);
}

/** What was typed ahead, for the line that is now in hand. */
export function release(): string[] {
  const keys = held ?? [];
  held = null;
  return keys;
}
