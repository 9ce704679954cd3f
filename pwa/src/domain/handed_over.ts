/**
 * What a job hands over: the order of its entries, which of them still stand, and the value each quantity left with.
 *
 * - order: taken_at (UTC, clock offset added), then device_seq, then seq
 * - an entry that any other entry names drops out for good; a void of a void brings nothing back
 * - two open corrections of one entry both stand and are a conflict; the later one gives the value
 * - an adjustment touches its quantities in every gear
 */

export type GearKey = readonly [ring: number, cog: number];

/** One entry of a job in the catalogue's units; `taken_at` in seconds UTC. What is missing is null or left out. */
export interface DomainEntry {
  id: string;
  kind: string;
  stage: string;
  taken_at: number;
  device_seq?: number | null;
  seq?: number | null;
  replaces?: string | null;
  quantity?: string | null;
  value?: number | null;
  u?: number | null;
  low?: number | null;
  high?: number | null;
  gear?: GearKey | null;
  adjuster?: string | null;
  amount?: number | null;
  fastener?: string | null;
  /** False for a torque outside its band, or one that its wrench cannot vouch for. */
  holds?: boolean;
  check?: string | null;
  outcome?: string | null;
}

/** What turning one adjuster does: adds `factor` times its amount to a quantity, or makes a measurement stale. */
export interface AdjusterEffect {
  id: string;
  adds_to: Readonly<Record<string, number>>;
  makes_stale: readonly string[];
}

export const ADJUSTED_SINCE = "adjusted since measured";
export const NOT_MEASURED = "not measured";
const NOTHING_NEEDED = "none";

/** A quantity as it left: `value` is null with the reason in `why_not`; stage and time are the reading's. */
export interface HandedOver {
  quantity: string;
  gear: GearKey | null;
  value: number | null;
  u: number | null;
  low: number | null;
  high: number | null;
  stale: boolean;
  why_not: string | null;
  reading_id: string | null;
  reading_value: number | null;
  steps_added: number;
  adjustments: string[];
  stage: string | null;
  taken_at: number | null;
}

export interface Conflict {
  entry_id: string;
  replaced_by: string[];
}

const byText = (one: string, other: string) => (one < other ? -1 : one > other ? 1 : 0);

/** Entries of one job from first to last. */
export function inOrder<E extends DomainEntry>(entries: Iterable<E>): E[] {
  return [...entries].sort((one, other) =>
    one.taken_at - other.taken_at || (one.device_seq ?? 0) - (other.device_seq ?? 0) ||
    (one.seq ?? 0) - (other.seq ?? 0) || byText(one.id, other.id));
}

const named = (entry: DomainEntry): entry is DomainEntry & { replaces: string } => !!entry.replaces && entry.replaces !== entry.id;

/** Entries that count, in order: named by no other entry, and not themselves a void. */
export function standing<E extends DomainEntry>(entries: Iterable<E>): E[] {
  const all = [...entries];
  const replaced = new Set(all.filter(named).map((entry) => entry.replaces));
  return inOrder(all).filter((entry) => !replaced.has(entry.id) && entry.kind !== "void");
}

/** Entries replaced in two ways at once, in order. Voiding all but one branch settles it; two voids agree. */
export function conflicts(entries: Iterable<DomainEntry>): Conflict[] {
  const ordered = inOrder(entries);
  const replacers = groupByReplaced(ordered);
  return ordered.flatMap((entry) => {
    const ends = (replacers.get(entry.id) ?? []).flatMap((branch) => {
      const end = openEnd(branch, replacers);
      return end ? [{ branch, end }] : [];
    });
    const settled = ends.length < 2 || ends.every(({ end }) => end.kind === "void");
    return settled ? [] : [{ entry_id: entry.id, replaced_by: ends.map(({ branch }) => branch.id) }];
  });
}

function groupByReplaced(entries: DomainEntry[]): Map<string, DomainEntry[]> {
  const groups = new Map<string, DomainEntry[]>();
  for (const entry of entries.filter(named)) groups.set(entry.replaces, [...(groups.get(entry.replaces) ?? []), entry]);
  return groups;
}

/** The last standing entry of a branch of corrections, or null if the branch was voided. */
function openEnd(entry: DomainEntry, replacers: ReadonlyMap<string, DomainEntry[]>): DomainEntry | null {
  const todo = [entry];
  const seen = new Set<string>();
  for (let next = todo.pop(); next; next = todo.pop()) {
    if (seen.has(next.id)) continue;
    seen.add(next.id);
    const after = replacers.get(next.id) ?? [];
    if (after.length === 0) return next;
    todo.push(...after.filter((replacer) => replacer.kind !== "void"));
  }
  return null;
}

interface Touch {
  entry: DomainEntry;
  /** null: cannot be told, the reading is stale. */
  added: number | null;
}

const keyOf = (quantity: string, gear: GearKey | null | undefined) => `${quantity}|${gear ? gear.join("/") : ""}`;

/**
 * The handed-over value of each quantity and gear of one job. The last reading in order; adjustments after it add where
 * they count the same thing, otherwise the reading is stale and has no value. Throws for an adjuster that is not known,
 * since a value it touched would wrongly pass as fresh.
 */
export function handedOver(entries: Iterable<DomainEntry>, adjusters: ReadonlyMap<string, AdjusterEffect>): HandedOver[] {
  const read = new Map<string, { reading: DomainEntry & { quantity: string }; since: Touch[] }>();
  const touched = new Map<string, Touch[]>();
  for (const entry of standing(entries)) {
    if (entry.kind === "reading" && entry.quantity) {
      read.set(keyOf(entry.quantity, entry.gear), { reading: entry as DomainEntry & { quantity: string }, since: [] });
    } else if (entry.kind === "adjustment") {
      for (const [quantity, added] of effects(entry, adjusters)) {
        touched.set(quantity, [...(touched.get(quantity) ?? []), { entry, added }]);
        for (const { reading, since } of read.values()) if (reading.quantity === quantity) since.push({ entry, added });
      }
    }
  }
  const values = [...read.values()].map(({ reading, since }) => valueOf(reading, since));
  const measured = new Set(values.map((value) => value.quantity));
  const unmeasured = [...touched].filter(([quantity, touches]) => !measured.has(quantity) && touches.some((t) => t.added !== null));
  return [...values, ...unmeasured.map(([quantity, touches]) => notMeasured(quantity, touches))];
}

/** Quantities an adjustment touches, with what it adds. */
function effects(entry: DomainEntry, adjusters: ReadonlyMap<string, AdjusterEffect>): [string, number | null][] {
  if (entry.adjuster === NOTHING_NEEDED || entry.amount === 0) return [];
  const adjuster = adjusters.get(entry.adjuster ?? "");
  if (!adjuster) throw new Error(`No adjuster is called ${entry.adjuster}.`);
  const amount = entry.amount ?? null;
  const adds = Object.entries(adjuster.adds_to).map(([q, factor]): [string, number | null] => [q, amount === null ? null : factor * amount]);
  return [...adds, ...adjuster.makes_stale.filter((q) => !(q in adjuster.adds_to)).map((q): [string, null] => [q, null])];
}

const sum = (touches: Touch[]) => touches.reduce((total, { added }) => total + (added ?? 0), 0);

function valueOf(reading: DomainEntry & { quantity: string }, since: Touch[]): HandedOver {
  const stale = since.some(({ added }) => added === null);
  const steps = sum(since);
  const shifted = (x: number | null | undefined) => (x === null || x === undefined || stale ? null : x + steps);
  return {
    quantity: reading.quantity, gear: reading.gear ?? null, value: shifted(reading.value), u: stale ? null : (reading.u ?? 0),
    low: shifted(reading.low), high: shifted(reading.high), stale, why_not: stale ? ADJUSTED_SINCE : null,
    reading_id: reading.id, reading_value: reading.value ?? null, steps_added: steps,
    adjustments: since.map(({ entry }) => entry.id), stage: reading.stage, taken_at: reading.taken_at,
  };
}

function notMeasured(quantity: string, touches: Touch[]): HandedOver {
  return {
    quantity, gear: null, value: null, u: null, low: null, high: null, stale: false, why_not: NOT_MEASURED,
    reading_id: null, reading_value: null, steps_added: sum(touches), adjustments: touches.map(({ entry }) => entry.id),
    stage: null, taken_at: null,
  };
}
