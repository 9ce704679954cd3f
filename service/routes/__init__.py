"""HTTP, one file a noun: load, call, return. No arithmetic and no SQL in this room."""

from __future__ import annotations

from flask import Flask

from service.api import RoadproofApi

from . import (
    band,
    bike,
    calculators,
    catalogue,
    causes,
    closing,
    customer,
    device,
    entry,
    gauge,
    health,
    job,
    limits,
    pairing,
    person,
    photo,
    plan,
    public,
    record,
    review,
    ten_minutes,
    workshop,
)

# A new noun: its file in this folder, its blueprint in this list.
ROOMS = [
    pairing.room,
    bike.room,
    job.room,
    person.room,
    device.room,
    entry.room,
    gauge.room,
    band.room,
    catalogue.room,
    record.room,
    customer.room,
    photo.room,
    workshop.room,
    calculators.room,
    plan.room,
    review.room,
    closing.room,
    causes.room,
    ten_minutes.room,
]


def register(app: Flask, api: RoadproofApi) -> None:
    limits.register(app)
    health.register(app)
    public.register(app)
    for room in ROOMS:
        api.register_blueprint(room)
