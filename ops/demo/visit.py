"""One visit of one bike: what the diary says of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from ops.demo import habits
from ops.demo.bikes import BY_KEY
from ops.demo.sheet import Sheet


def nothing(sheet: Sheet) -> None:
    """Where a visit has nothing of its own."""


@dataclass(frozen=True)
class Visit:
    """`days_before` the reference date; `ends` is handed_over, closed (a comeback), riding or open.

    `before` is what befell the bike since the last visit and is hidden; `symptoms_seen` and `repair` are what only
    this visit writes, as found and on the bench. `cause` is the true one, an id of the catalogue. Remarks: on arrival,
    when done in the stand, after the ride; an empty one is left out.
    """

    days_before: int
    bike: str
    kind: str
    by: str
    gap_target: float
    cage_clearance: float
    ends: str = "handed_over"
    hour: float = 9.2
    remarks: tuple[str, ...] = ()
    declined: tuple[str, ...] = ()
    renewed: tuple[str, ...] = ()
    missing_parts: tuple[str, ...] = ()
    before: Callable[[Sheet], None] = nothing
    symptoms_seen: Callable[[Sheet], None] = nothing
    repair: Callable[[Sheet], None] = nothing
    noises: tuple[Callable[[Sheet], None], ...] = ()
    since_last: tuple[str, ...] = ()
    symptoms: tuple[str, ...] = ()
    words: str = ""
    cause: str | None = None
    outcome: str = "found"
    remedy: str | None = None
    borne_by: str | None = None
    link: bool = False
    late: str | None = None


def visited(days_before: int, bike: str, kind: str, by: str, *remarks: str, **more: Any) -> Visit:
    """A visit with what its mechanic aims at."""
    gap, cage = habits.pulley_gap(BY_KEY[bike]), habits.cage_clearance(BY_KEY[bike], days_before)
    return Visit(days_before, bike, kind, by, gap, cage, remarks=remarks, **more)
