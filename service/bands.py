"""The band of a quantity on one bike; the shop's own bands, as the computing room wants them, and how they are set."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime
from typing import Any

from sqlite_utils import Database

from service import catalogue
from service.domain.bands import BandOverride, ResolvedBand
from service.domain.bike import Facts
from service.domain.chain import size_chain
from service.domain.errors import CannotCompute
from service.errors import Problem, fault
from service.store import Store, band

SHOP_TAG = "set by the shop"


def overrides(db: Database, shop_id: str) -> list[BandOverride]:
    """Every band the shop ever set, with the moment each came into force."""
    return [_override(one) for one in band.all_of(db, shop_id)]


def _override(one: dict[str, Any]) -> BandOverride:
    limits = ResolvedBand(one.get("lower"), one.get("upper"), one.get("target"), SHOP_TAG, one.get("note"))
    return BandOverride(one["quantity"], one.get("family"), limits, datetime.fromisoformat(one["in_force_from"]))


def for_bike(
    quantity: str,
    bike: Mapping[str, Any],
    of: Facts,
    own: Iterable[BandOverride] = (),
    at: datetime | None = None,
) -> tuple[ResolvedBand | None, str | None]:
    """The band that judges a quantity on this bike, and the reason where one has to be computed and cannot be."""
    known, own = catalogue.load(), [one for one in own if one.quantity == quantity]
    found = known.band_for(quantity, of, own, at)
    if found or own or known.items["quantities"][quantity].get("band_from") != "chain_size":
        return found, None
    try:
        return _chain_size(bike["drivetrain"]), None
    except CannotCompute as error:
        return None, error.reason


def _chain_size(drivetrain: Mapping[str, Any]) -> ResolvedBand:
    """Exactly the links that the drivetrain calls for. Raises CannotCompute where the bike's facts do not tell."""
    rings, cogs, chainstay = drivetrain["rings"], drivetrain["cogs"], drivetrain.get("chainstay_mm")
    if chainstay is None:
        raise CannotCompute("The chain is sized from the chainstay length, which this bike's facts do not have.")
    if len(set(rings)) != 2:
        raise CannotCompute("Only on a double is it known how many links more: here its maker says.")
    links = size_chain(rings, cogs, chainstay).links_to_cut
    source = f"sized over {max(rings)} × {max(cogs)} at a chainstay of {chainstay:g} mm, two links more on a double"
    return ResolvedBand(links, links, links, "computed", source)


def as_json(resolved: ResolvedBand | None) -> dict[str, Any] | None:
    """A band as the contract shows it."""
    if resolved is None:
        return None
    names = ("lower", "upper", "target", "source", "tag")
    return {name: getattr(resolved, name) for name in names}


def save(store: Store, shop_id: str, person_id: str, wanted: list[dict[str, Any]], now: datetime) -> None:
    """Append bands that differ from those in force; they are in force from now. Raises Problem 409."""
    known = catalogue.load().items["quantities"]
    for place, one in enumerate(wanted):
        if one["quantity"] not in known:
            raise _clash(f"/bands/{place}/quantity", f"The catalogue has no quantity {one['quantity']}.")
        limits = [one[name] for name in ("lower", "target", "upper") if one[name] is not None]
        if limits != sorted(limits):
            raise _clash(f"/bands/{place}/upper", "lower, target and upper do not come in this order.")
    with store.writing() as db:
        in_force = {(one["quantity"], one.get("family")): one for one in band.all_of(db, shop_id)}
        for one in wanted:
            before = in_force.get((one["quantity"], one["family"]), {})
            if any(before.get(name, "unset") != one[name] for name in ("lower", "upper", "target", "note")):
                body = {name: value for name, value in one.items() if name != "quantity"}
                band.append(db, shop_id, one["quantity"], body, now.isoformat(), person_id)


def listed(store: Store, shop_id: str) -> list[dict[str, Any]]:
    """Every band the shop ever set."""
    with store.reading() as db:
        return band.all_of(db, shop_id)


def _clash(pointer: str, detail: str) -> Problem:
    return Problem(409, detail, errors=[fault(pointer, detail)])
