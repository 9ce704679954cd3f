"""Which tolerance band judges a quantity on one bike: the shop's override in force, else the catalogue's start value.

Overrides are appended and in force from the moment the service received them, never backdated.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from service.domain.bike import Facts, applies
from service.domain.conformity import Band


@dataclass(frozen=True)
class ResolvedBand:
    """A band with where it comes from; limits in the quantity's own unit."""

    lower: float | None
    upper: float | None
    target: float | None
    tag: str
    source: str | None = None

    @property
    def band(self) -> Band:
        return Band(self.lower, self.upper, self.target)


@dataclass(frozen=True)
class BandRule:
    """One start value of the catalogue: holds for bikes that meet `when`."""

    band: ResolvedBand
    when: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True)
class BandOverride:
    """A band the shop set: for one family, or for all where `family` is None. Both limits None: not judged."""

    quantity: str
    family: str | None
    band: ResolvedBand
    received_at: datetime


def resolve(
    rules: Iterable[BandRule],
    of: Facts,
    overrides: Iterable[BandOverride] = (),
    at: datetime | None = None,
) -> ResolvedBand | None:
    """The band in force at a moment (now where `at` is None); a family's own override wins over one for all families.

    Among overrides of the same reach the newest received wins. None: nothing to judge by.
    """
    in_force = [o for o in overrides if (at is None or o.received_at <= at) and o.family in (None, of["family"])]
    if in_force:
        chosen = max(in_force, key=lambda o: (o.family is not None, o.received_at)).band
    else:
        chosen = next((rule.band for rule in rules if applies(rule.when, of)), None)
    return None if chosen is None or chosen.band.is_open else chosen
