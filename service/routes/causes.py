"""The table of causes."""

from __future__ import annotations

from schemas.causes import CausesPutSchema, CausesSchema
from service import causes
from service.api import Room, as_answer
from service.auth import caller, owner_only
from service.book import book, now

room = Room("causes", description="Causes of comebacks")


@room.route("/workshop/causes")
@room.response(200, CausesSchema)
def get_causes():
    """The table in force, and the priors that closed comebacks have taught"""
    with book().reading() as db:
        return as_answer(causes.shown(db, caller().shop_id))


@room.route("/workshop/causes", methods=["PUT"])
@owner_only
@room.arguments(CausesPutSchema)
@room.response(200, CausesSchema)
@room.alt_response(403, "FORBIDDEN")
@room.alt_response(409, "CONFLICT")
def put_causes(body):
    """Put the shop's own table in force"""
    return as_answer(causes.save(book(), caller().shop_id, caller().person_id, body["causes"], now()))
