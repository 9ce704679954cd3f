"""Entries: taken in batches, read back by job, followed as a feed."""

from __future__ import annotations

from schemas.change import ChangesQuerySchema, ChangesSchema
from schemas.conflict import ConflictsSchema
from schemas.entry import BatchSchema
from schemas.entry_answer import EntriesSchema, ResultsSchema
from service import entry as entries
from service.api import Room, as_answer, refuse_old_contract
from service.auth import caller
from service.book import book, now
from service.entry_intake import OLDEST_CONTRACT, take_in
from service.routes.job import known_job

room = Room("entry", description="Entries: anything logged in a job")


@room.route("/entries", methods=["POST"])
@refuse_old_contract(OLDEST_CONTRACT)
@room.arguments(BatchSchema)
@room.response(200, ResultsSchema)
@room.alt_response(403, "FORBIDDEN")
@room.alt_response(413, "REQUEST_ENTITY_TOO_LARGE")
@room.alt_response(426, "UPGRADE_REQUIRED")
@room.alt_response(503, "SERVICE_UNAVAILABLE")
def post_entries(batch):
    """Send 1 to 200 entries; results[i] answers entries[i]"""
    return take_in(book(), caller(), batch, now())


@room.route("/jobs/<id:job_id>/entries")
@room.response(200, EntriesSchema)
def get_job_entries(job_id):
    """The entries of a job in the order they were taken, replaced ones included"""
    with book().reading() as db:
        known_job(db, job_id)
        return as_answer(entries.of_job(db, caller().shop_id, job_id))


@room.route("/changes")
@room.arguments(ChangesQuerySchema, location="query")
@room.response(200, ChangesSchema)
def get_changes(query):
    """What changed after a seq; read on with `next` while `more` is true"""
    return as_answer(entries.changes(book(), caller().shop_id, query["after"], query["limit"], now()))


@room.route("/conflicts")
@room.response(200, ConflictsSchema)
def get_conflicts():
    """Entries that clash, both sides kept"""
    return as_answer({"conflicts": entries.clashes(book(), caller().shop_id)})
