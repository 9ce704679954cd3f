"""The shop's own bands."""

from __future__ import annotations

from schemas.band import BandsPutSchema, BandsSchema
from service import bands
from service.api import Room
from service.auth import caller, owner_only
from service.book import book, now

room = Room("band", description="The shop's own tolerance bands")


@room.route("/workshop/bands")
@room.response(200, BandsSchema)
def get_bands():
    """Every band the shop ever set, the oldest first"""
    return {"bands": bands.listed(book(), caller().shop_id)}


@room.route("/workshop/bands", methods=["PUT"])
@owner_only
@room.arguments(BandsPutSchema)
@room.response(200, BandsSchema)
@room.alt_response(403, "FORBIDDEN")
@room.alt_response(409, "CONFLICT")
def put_bands(body):
    """Set bands; they are appended, and in force from now"""
    bands.save(book(), caller().shop_id, caller().person_id, body["bands"], now())
    return {"bands": bands.listed(book(), caller().shop_id)}
