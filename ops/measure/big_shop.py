"""The demo book many times over: a shop whose phone holds a lot. The copies go in through the API."""

from __future__ import annotations

import uuid
from collections import defaultdict
from contextlib import closing
from dataclasses import dataclass

from ops.measure.client import Client
from ops.measure.reading import feed
from ops.served import Served

COPIES = 11  # with the demo's own 13 bikes and 40 jobs 156 and 480
AT_WORK = 4  # copies whose bikes each have their newest job open, and whose entries the phone is to hold
ADDED = {"id", "seq", "state", "family", "updated_at", "received_at", "device_id", "derived", "photos", "customer_id"}


@dataclass(frozen=True)
class BigShop:
    """An open job on a bike with a front derailleur, and entries that are not in the book yet."""

    job_id: str
    entries: list[dict]


def fill(book: Served, token: str, count: int) -> BigShop:
    """Puts the copies' bikes and jobs into the book, and gives the first `count` entries of those at work."""
    demo = defaultdict(list)
    with closing(Client(book.url, token)) as client:
        for _, change in feed(client):
            demo[change["noun"]].append(change["body"])
    demo["job"].sort(key=lambda job: job["opened_at"])
    newest = {job["bike_id"]: job["id"] for job in demo["job"]}
    for copy in range(COPIES):
        for bike in demo["bike"]:
            body = {**asked(bike, copy), "base_seq": None, "label": f"{bike['label']}, {copy + 2}"}
            book.call("PUT", f"/api/v1/bikes/{copied(bike['id'], copy)}", body, token)
        for job in demo["job"]:
            put_job(book, token, job, copy, is_open=copy < AT_WORK and newest[job["bike_id"]] == job["id"])
    entries = [
        {**asked(entry, copy), "id": copied(entry["id"], copy)} for copy in range(AT_WORK) for entry in demo["entry"]
    ]
    bike = next(bike["id"] for bike in demo["bike"] if bike["drivetrain"]["front_derailleur"])
    return BigShop(copied(newest[bike], 0), entries[:count])


def put_job(book: Served, token: str, job: dict, copy: int, is_open: bool) -> None:
    path = f"/api/v1/jobs/{copied(job['id'], copy)}"
    book.call("PUT", path, {**asked(job, copy), "base_seq": None}, token)
    if not is_open:
        book.call("POST", f"{path}/close", {"id": str(uuid.uuid4()), "outcome": "no_fault"}, token)


def asked(body: dict, copy: int) -> dict:
    """What a person wrote of it, naming the copies of what it names."""
    kept = {key: value for key, value in body.items() if key not in ADDED and value is not None}
    named = {key: copied(kept[key], copy) for key in ("bike_id", "comeback_of", "job_id", "replaces") if key in kept}
    return kept | named


def copied(id: str, copy: int) -> str:
    """The id of a copy: the same one for the same thing."""
    return str(uuid.uuid5(uuid.UUID(id), str(copy)))
