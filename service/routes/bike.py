"""Bikes."""

from __future__ import annotations

from schemas.bike import BikePutSchema, BikeQrSchema, BikeSchema, BikesQuerySchema, BikesSchema
from schemas.job import JobsSchema
from schemas.trend import TrendQuerySchema, TrendSchema
from service import bike as bikes
from service import trend
from service.api import Room, as_answer
from service.auth import caller
from service.book import base_url, book, now
from service.errors import Problem
from service.store import bike, job

room = Room("bike", description="Bikes, and what is built into them")


def known_bike(db, bike_id: str) -> dict:
    """The bike, or 404. Shared by every address below a bike."""
    found = bike.get(db, caller().shop_id, bike_id)
    if found is None:
        raise Problem(404, "This bike is not in the book.")
    return found


@room.route("/bikes")
@room.arguments(BikesQuerySchema, location="query")
@room.response(200, BikesSchema)
def get_bikes(query):
    """Find bikes by any word; the newest change first"""
    return bikes.find(book(), caller().shop_id, query)


@room.route("/bikes/<id:bike_id>")
@room.response(200, BikeSchema)
def get_bike(bike_id):
    """One bike"""
    with book().reading() as db:
        return known_bike(db, bike_id)


@room.route("/bikes/<id:bike_id>", methods=["PUT"])
@room.arguments(BikePutSchema)
@room.response(200, BikeSchema)
@room.alt_response(409, "CONFLICT")
def put_bike(body, bike_id):
    """Add a bike, or change it on top of the seq that was last seen"""
    return bikes.save(book(), caller().shop_id, bike_id, body, now())


@room.route("/bikes/<id:bike_id>/qr")
@room.response(200, BikeQrSchema)
def get_bike_qr(bike_id):
    """The bike's address in the app as a QR code; it opens nothing without a paired phone"""
    with book().reading() as db:
        return bikes.code(known_bike(db, bike_id), base_url())


@room.route("/bikes/<id:bike_id>/jobs")
@room.response(200, JobsSchema)
def get_bike_jobs(bike_id):
    """The jobs of a bike, the oldest first"""
    with book().reading() as db:
        known_bike(db, bike_id)
        return {"jobs": job.of_bike(db, caller().shop_id, bike_id)}


@room.route("/bikes/<id:bike_id>/trend")
@room.arguments(TrendQuerySchema, location="query")
@room.response(200, TrendSchema)
def get_bike_trend(query, bike_id):
    """Readings of a bike as series, one a quantity, stage and gear"""
    with book().reading() as db:
        known_bike(db, bike_id)
        return as_answer(trend.of_bike(db, caller().shop_id, bike_id, query))
