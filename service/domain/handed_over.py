"""What a job hands over: the order of its entries, which of them still stand, and the value each quantity left with.

Definition: the set-up book's own rule (an entry is only ever added; a correction or a void names what it replaces).

Rules written down once, so that the phone decides alike:

- order: `taken_at` (UTC, clock offset of the batch added), then `device_seq`, then `seq`. A correction says when the
  corrected thing was measured, so it carries the `taken_at` of what it replaces.
- an entry that any other entry names drops out for good. A void of a void brings nothing back: what was taken out by
  mistake is logged again. (The rule needs no chains, does not depend on the order of arrival and is one query.)
- two open corrections of one entry both stand, are reported as a conflict, and the later one gives the value.
- an adjustment touches its quantities in every gear.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from math import fsum

Gear = tuple[int, int]  # teeth of the ring, teeth of the cog
Key = tuple[str, Gear | None]  # quantity and gear

ADJUSTED_SINCE = "adjusted since measured"
NOT_MEASURED = "not measured"
NOTHING_NEEDED = "none"  # the adjuster that stands for "nothing needed"


@dataclass(frozen=True)
class Entry:
    """One entry of a job, in the catalogue's units. `taken_at` is in seconds UTC, clock offset already added."""

    id: str
    kind: str
    stage: str
    taken_at: float
    device_seq: int = 0
    seq: int = 0
    replaces: str | None = None
    quantity: str | None = None
    value: float | None = None
    u: float = 0.0
    low: float | None = None
    high: float | None = None
    gear: Gear | None = None
    adjuster: str | None = None
    amount: float | None = None
    fastener: str | None = None
    holds: bool = True  # False for a torque outside its band, or one that its wrench cannot vouch for
    check: str | None = None
    outcome: str | None = None
    by: str | None = None


@dataclass(frozen=True)
class Adjuster:
    """What turning one adjuster does: adds `factor` times its amount to a quantity, or makes a measurement stale."""

    id: str
    adds_to: Mapping[str, float] = field(default_factory=dict)
    makes_stale: tuple[str, ...] = ()


@dataclass(frozen=True)
class HandedOver:
    """A quantity as it left: `value` is None with the reason in `why_not`. `stage` and `taken_at` are the reading's."""

    quantity: str
    gear: Gear | None
    value: float | None
    u: float | None
    low: float | None
    high: float | None
    stale: bool
    why_not: str | None
    reading_id: str | None
    reading_value: float | None
    steps_added: float
    adjustments: tuple[str, ...]
    stage: str | None
    taken_at: float | None


@dataclass(frozen=True)
class Conflict:
    """One entry with two or more open replacements."""

    entry_id: str
    replaced_by: tuple[str, ...]


def in_order(entries: Iterable[Entry]) -> list[Entry]:
    """Entries of one job from first to last."""
    return sorted(entries, key=lambda e: (e.taken_at, e.device_seq, e.seq, e.id))


def standing(entries: Iterable[Entry]) -> list[Entry]:
    """Entries that count, in order: named by no other entry, and not themselves a void."""
    entries = list(entries)
    named = {e.replaces for e in entries if e.replaces and e.replaces != e.id}
    return [e for e in in_order(entries) if e.id not in named and e.kind != "void"]


def conflicts(entries: Iterable[Entry]) -> list[Conflict]:
    """Entries replaced in two ways at once, in order. Voiding all but one branch settles it; two voids agree."""
    ordered = in_order(entries)
    replacers: dict[str, list[Entry]] = defaultdict(list)
    for e in ordered:
        if e.replaces and e.replaces != e.id:
            replacers[e.replaces].append(e)
    found = []
    for e in ordered:
        ends = [(r, end) for r in replacers[e.id] if (end := _open_end(r, replacers)) is not None]
        if len(ends) > 1 and any(end.kind != "void" for _, end in ends):
            found.append(Conflict(e.id, tuple(r.id for r, _ in ends)))
    return found


def _open_end(entry: Entry, replacers: Mapping[str, list[Entry]]) -> Entry | None:
    """The last standing entry of a branch of corrections, or None if the branch was voided."""
    todo, seen = [entry], set()
    while todo:
        e = todo.pop()
        if e.id in seen:
            continue
        seen.add(e.id)
        after = replacers.get(e.id, [])
        if not after:
            return e
        todo.extend(r for r in after if r.kind != "void")
    return None


def handed_over(entries: Iterable[Entry], adjusters: Mapping[str, Adjuster]) -> dict[Key, HandedOver]:
    """The handed-over value of each quantity and gear of one job.

    The last reading in order; adjustments after it add where they count the same thing, otherwise the reading is
    stale and has no value. An adjustment of unknown amount makes stale what it would have added to. Raises KeyError
    for an adjuster that is not in `adjusters`, since a value it touched would wrongly pass as fresh.
    """
    readings: dict[Key, Entry] = {}
    since: dict[Key, list[tuple[Entry, float | None]]] = {}
    unread: dict[str, list[tuple[Entry, float | None]]] = defaultdict(list)
    for e in standing(entries):
        if e.kind == "reading":
            readings[e.quantity, e.gear] = e
            since[e.quantity, e.gear] = []
        elif e.kind == "adjustment":
            for quantity, added in _effects(e, adjusters):
                unread[quantity].append((e, added))
                for key in readings:
                    if key[0] == quantity:
                        since[key].append((e, added))
    result = {key: _value(reading, since[key]) for key, reading in readings.items()}
    read = {quantity for quantity, _ in readings}
    for quantity, touched in unread.items():
        added = [a for _, a in touched if a is not None]
        if quantity not in read and added:
            result[quantity, None] = _not_measured(quantity, touched, fsum(added))
    return result


def _effects(e: Entry, adjusters: Mapping[str, Adjuster]) -> list[tuple[str, float | None]]:
    """Quantities an adjustment touches, with what it adds (None: cannot be told, the reading is stale)."""
    if e.adjuster == NOTHING_NEEDED or e.amount == 0:
        return []
    adjuster = adjusters[e.adjuster]
    added = [(q, None if e.amount is None else factor * e.amount) for q, factor in adjuster.adds_to.items()]
    return added + [(q, None) for q in adjuster.makes_stale if q not in adjuster.adds_to]


def _value(reading: Entry, touched: list[tuple[Entry, float | None]]) -> HandedOver:
    stale = any(added is None for _, added in touched)
    steps = fsum(added for _, added in touched if added is not None)

    def shifted(x: float | None) -> float | None:
        return None if x is None or stale else x + steps

    return HandedOver(
        quantity=reading.quantity, gear=reading.gear, value=shifted(reading.value), u=None if stale else reading.u,
        low=shifted(reading.low), high=shifted(reading.high), stale=stale, why_not=ADJUSTED_SINCE if stale else None,
        reading_id=reading.id, reading_value=reading.value, steps_added=steps,
        adjustments=tuple(e.id for e, _ in touched), stage=reading.stage, taken_at=reading.taken_at,
    )


def _not_measured(quantity: str, touched: list[tuple[Entry, float | None]], steps: float) -> HandedOver:
    return HandedOver(
        quantity=quantity, gear=None, value=None, u=None, low=None, high=None, stale=False, why_not=NOT_MEASURED,
        reading_id=None, reading_value=None, steps_added=steps, adjustments=tuple(e.id for e, _ in touched),
        stage=None, taken_at=None,
    )
