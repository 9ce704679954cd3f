"""The shop's own bands, as the computing room wants them, and how they are set."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from sqlite_utils import Database

from service.domain.bands import BandOverride, ResolvedBand
from service.store import band

SHOP_TAG = "set by the shop"


def overrides(db: Database, shop_id: str) -> list[BandOverride]:
    """Every band the shop ever set, with the moment each came into force."""
    return [_override(one) for one in band.all_of(db, shop_id)]


def _override(one: dict[str, Any]) -> BandOverride:
    limits = ResolvedBand(one.get("lower"), one.get("upper"), one.get("target"), SHOP_TAG, one.get("note"))
    return BandOverride(one["quantity"], one.get("family"), limits, datetime.fromisoformat(one["in_force_from"]))


def as_json(resolved: ResolvedBand | None) -> dict[str, Any] | None:
    """A band as the contract shows it."""
    if resolved is None:
        return None
    names = ("lower", "upper", "target", "source", "tag")
    return {name: getattr(resolved, name) for name in names}
