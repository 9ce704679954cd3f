"""Ten minutes left."""

from __future__ import annotations

from schemas.ten_minutes import TenMinutesSchema
from service import ten_minutes
from service.api import Room, as_answer
from service.auth import caller
from service.book import book
from service.routes.bike import known_bike

room = Room("ten_minutes", description="Ten minutes left: what to check")


@room.route("/bikes/<id:bike_id>/ten-minutes")
@room.response(200, TenMinutesSchema)
def get_ten_minutes(bike_id):
    """Which open check prevents most expected comebacks on this bike, by the shop's own history"""
    with book().reading() as db:
        return as_answer(ten_minutes.of_bike(db, caller().shop_id, known_bike(db, bike_id)))
