"""Gauges."""

from __future__ import annotations

from schemas.gauge import GaugesSchema, GaugesShownSchema
from service import gauge as gauges
from service.api import Room
from service.auth import caller
from service.book import book, now

room = Room("gauge", description="Measuring tools, torque wrenches included")


@room.route("/gauges")
@room.response(200, GaugesShownSchema)
def get_gauges():
    """Every gauge; one whose calibration ran out is flagged"""
    return {"gauges": gauges.listed(book(), caller().shop_id, now().date())}


@room.route("/gauges", methods=["PUT"])
@room.arguments(GaugesSchema)
@room.response(200, GaugesShownSchema)
@room.alt_response(409, "CONFLICT")
def put_gauges(body):
    """Add or change gauges"""
    gauges.save(book(), caller().shop_id, body["gauges"])
    return {"gauges": gauges.listed(book(), caller().shop_id, now().date())}
