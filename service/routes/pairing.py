"""Pairing a device."""

from __future__ import annotations

from flask import request

from schemas.pairing import PairedSchema, PairSchema
from service.api import Room
from service.book import book, guesses, now
from service.errors import Problem, fault
from service.pairing import pair

room = Room("pairing", open=True, description="Pairing a device with the shop")


@room.route("/pair", methods=["POST"])
@room.arguments(PairSchema)
@room.response(200, PairedSchema)
@room.alt_response(403, "FORBIDDEN")
@room.alt_response(429, "TOO_MANY_REQUESTS")
def post_pair(body):
    """Exchange a one-time code for this device's token"""
    guesses().check(request.remote_addr)
    paired = pair(book(), body["code"], body["device_id"], body["device_name"], now())
    if paired is None:
        guesses().note(request.remote_addr)
        detail = "This code is wrong, was used already, or is older than ten minutes; ask for a new one."
        raise Problem(403, detail, kind="wrong-code", errors=[fault("/code", detail)])
    return paired
