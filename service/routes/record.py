"""Handing over, set-up records, and the links to them."""

from __future__ import annotations

from schemas.record import HandoverSchema, NewLinkSchema, RecordSchema, RecordsSchema
from service import records
from service.api import Room, as_answer
from service.auth import caller
from service.book import base_url, book, now, signing_key
from service.errors import Problem
from service.handover import hand_over
from service.record.page import qr_svg
from service.routes.job import known_job
from service.store import link, record

room = Room("record", description="Set-up records: frozen and signed at the handover")


def known_record(db, record_id: str) -> dict:
    """The record, or 404."""
    found = record.get(db, caller().shop_id, record_id)
    if found is None:
        raise Problem(404, "This record is not in the book.")
    return found


@room.route("/jobs/<id:job_id>/handover", methods=["POST"])
@room.arguments(HandoverSchema)
@room.response(200, RecordSchema)
@room.alt_response(409, "CONFLICT")
def post_handover(body, job_id):
    """Hand the bike over: freeze and sign its record; what is missing or stale must be accepted"""
    return as_answer(hand_over(book(), caller(), job_id, body, signing_key(), now()))


@room.route("/jobs/<id:job_id>/records")
@room.response(200, RecordsSchema)
def get_job_records(job_id):
    """The records of a job, the oldest first; a later one amends the one before"""
    shop_id = caller().shop_id
    with book().reading() as db:
        known_job(db, job_id)
        found = [record.get(db, shop_id, one["id"]) for one in record.of_job(db, shop_id, job_id)]
        return as_answer({"records": [records.shown(db, shop_id, one) for one in found]})


@room.route("/records/<id:record_id>")
@room.response(200, RecordSchema)
def get_record(record_id):
    """A set-up record, with what has happened since"""
    with book().reading() as db:
        return as_answer(records.shown(db, caller().shop_id, known_record(db, record_id)))


@room.route("/records/<id:record_id>/links", methods=["POST"])
@room.response(201, NewLinkSchema)
def post_link(record_id):
    """A link that opens the record without an account; the secret in it is shown this once"""
    with book().reading() as db:
        known_record(db, record_id)
    made = records.new_link(book(), caller().shop_id, record_id, base_url(), now())
    return {**made, "qr_svg": str(qr_svg(made["url"]))}


@room.route("/records/<id:record_id>/links/<id:link_id>", methods=["DELETE"])
@room.response(204)
def delete_link(record_id, link_id):
    """Take a link back"""
    with book().writing() as db:
        if not link.delete(db, caller().shop_id, record_id, link_id):
            raise Problem(404, "There is no such link.")
