"""What an entry is asked about: the bike it was made on, the catalogue, and what the shop itself has set."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from service.catalogue import Catalogue
from service.domain.bands import BandOverride
from service.domain.bike import applies, facts
from service.domain.errors import CannotCompute
from service.entry_fault import rejected, retry


@dataclass(frozen=True)
class Surroundings:
    """What a batch is judged by: the catalogue, the shop's own bands and gauges, and the moment of receipt."""

    catalogue: Catalogue
    received_at: datetime
    overrides: list[BandOverride] = field(default_factory=list)
    gauges: Mapping[str, dict] = field(default_factory=dict)
    studied: Mapping[str, float] = field(default_factory=dict)
    people: set[str] = field(default_factory=set)


class BikeAsked:
    """A bike with its facts, asked what it has."""

    def __init__(self, body: Mapping[str, Any]) -> None:
        self.body = body
        self.facts = facts(body)
        self.rings, self.cogs = body["drivetrain"]["rings"], body["drivetrain"]["cogs"]

    def has(self, item: Mapping[str, Any]) -> bool:
        return applies(item.get("applies", {}), self.facts)

    def check_gear(self, gear: Mapping[str, int] | None, pointer: str) -> None:
        """Refuse a gear that the bike does not have."""
        if gear is None:
            return
        for part, teeth in (("ring", self.rings), ("cog", self.cogs)):
            if gear[part] not in teeth:
                has = ", ".join(map(str, sorted(teeth)))
                detail = f"This bike has no {part} of {gear[part]:g} teeth; it has {has}."
                raise rejected(f"{pointer}/{part}", detail, "no-such-gear")


def item(noun: str, id: str, pointer: str, bike: BikeAsked, around: Surroundings) -> dict[str, Any]:
    """A thing of the catalogue that this bike has."""
    found = around.catalogue.items[noun].get(id)
    if found is None:
        raise retry(pointer, f"This service's catalogue has no {id} among its {noun}.", "unknown-catalogue-id")
    if not bike.has(found):
        raise rejected(pointer, f"This bike has none: {found['label']} is for others.", "not-on-this-bike")
    return found


def in_unit(value: float, unit: str, wanted: str, pointer: str, around: Surroundings) -> float:
    """A value in the catalogue's unit; a unit that is unknown or measures something else is refused."""
    units = around.catalogue.units
    fits = [u.id for u in units.values() if u.dimension == units[wanted].dimension]
    if unit not in fits:
        what = f"{unit} measures something else" if unit in units else f"There is no unit {unit!r}"
        raise rejected(pointer, f"{what}; use {' or '.join(fits)}.", "wrong-unit")
    try:
        return value if unit == wanted else around.catalogue.to_unit(value, unit, wanted)
    except CannotCompute as error:
        raise rejected(pointer, error.reason) from error
