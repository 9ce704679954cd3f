"""The facts of a bike that decide what it is asked, and its drivetrain family.

A bike is only asked what it has: every quantity, check, step, adjuster and cause states a condition on these facts.
"""

from collections.abc import Mapping
from typing import Any

Facts = Mapping[str, Any]


def facts(bike: Mapping[str, Any]) -> dict[str, Any]:
    """Flat facts of a bike given in the contract's shape (`drivetrain`, `wheel`, `brakes`, `tyres`)."""
    train = bike["drivetrain"]
    rings, cogs = sorted(train["rings"], reverse=True), sorted(train["cogs"])
    return {
        "shifting": train["shifting"],
        "rear_mount": train["rear_mount"],
        "front_derailleur": bool(train["front_derailleur"]),
        "suspension": bool(train.get("suspension", False)),
        "brakes": bike["brakes"],
        "tyres": bike["tyres"],
        "ring_count": len(rings),
        "cog_count": len(cogs),
        "largest_ring": rings[0],
        "smallest_ring": rings[-1],
        "largest_cog": cogs[-1],
        "smallest_cog": cogs[0],
        "family": family(train),
    }


def family(train: Mapping[str, Any]) -> str:
    """Name of the family: bikes alike in shifting, speeds, rings and cogs, as in electronic-12x2-10-36-46-33."""
    rings, cogs = sorted(train["rings"], reverse=True), sorted(train["cogs"])
    parts = [train["shifting"], f"{len(cogs)}x{len(rings)}", str(cogs[0]), str(cogs[-1]), *map(str, rings)]
    return "-".join(parts)


def applies(when: Mapping[str, Any], of: Facts) -> bool:
    """True when every condition holds: a value is one wanted value, a list of them, or a mapping with min and max.

    A fact the bike does not have fails its condition.
    """
    return all(key in of and _holds(wanted, of[key]) for key, wanted in when.items())


def _holds(wanted: Any, fact: Any) -> bool:
    if isinstance(wanted, Mapping):
        return wanted.get("min", fact) <= fact <= wanted.get("max", fact)
    if isinstance(wanted, list | tuple):
        return fact in wanted
    return fact == wanted


def usual_gear(place: str, bike: Mapping[str, Any]) -> dict[str, int] | None:
    """The gear a reading usually belongs to; `place` is the catalogue's gear_default. None for an unknown place."""
    rings = sorted(bike["drivetrain"]["rings"], reverse=True)
    cogs = sorted(bike["drivetrain"]["cogs"])
    gears = {
        "largest_cog": (rings[-1], cogs[-1]),
        "second_largest_cog": (rings[-1], cogs[-2] if len(cogs) > 1 else cogs[-1]),
        "smallest_cog": (rings[0], cogs[0]),
        "largest_ring_smallest_cog": (rings[0], cogs[0]),
        "smallest_ring_largest_cog": (rings[-1], cogs[-1]),
    }
    return {"ring": gears[place][0], "cog": gears[place][1]} if place in gears else None
