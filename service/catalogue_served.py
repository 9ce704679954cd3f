"""The catalogue as one shop's phones get it: with the shop's own bands and uncertainties in their places."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable
from typing import Any

from sqlite_utils import Database

from service import bands, catalogue
from service.domain.bands import BandOverride
from service.store import gauge, shop_table


def served(db: Database, shop_id: str) -> dict[str, Any]:
    """The document of GET /catalogue. Its `version` changes with anything in it, so it serves as the ETag."""
    document = catalogue.load().as_json()
    own = bands.overrides(db, shop_id)
    studied = gauge.studied(db, shop_id)
    for quantity in document["quantities"]:
        quantity["bands"] = _in_force(own, quantity["id"]) + quantity["bands"]
        if quantity["id"] in studied:
            quantity |= {"u": studied[quantity["id"]], "u_tag": "gauge study"}
    for noun in ("steps", "causes"):
        own_table = shop_table.newest(db, shop_id, noun)
        document[noun] = own_table["rows"] if own_table else document[noun]
    text = json.dumps(document, sort_keys=True, ensure_ascii=False)
    document["version"] = hashlib.sha256(text.encode()).hexdigest()[:16]
    return document


def _in_force(own: Iterable[BandOverride], quantity: str) -> list[dict[str, Any]]:
    """The shop's bands of a quantity as the catalogue writes them: the first whose `when` holds wins."""
    newest = {one.family: one for one in own if one.quantity == quantity}
    found = sorted(newest.values(), key=lambda one: one.family is None)
    return [_as_rule(one) for one in found]


def _as_rule(one: BandOverride) -> dict[str, Any]:
    limits = {name: getattr(one.band, name) for name in ("lower", "upper", "target")}
    given = {name: value for name, value in limits.items() if value is not None}
    when = {"family": one.family} if one.family else {}
    return {"when": when, **given, "tag": one.band.tag, **({"source": one.band.source} if one.band.source else {})}
