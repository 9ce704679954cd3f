"""Closing a job, and the first guess."""

from __future__ import annotations

from schemas.closing import ClosedSchema, CloseSchema, FirstGuessSchema, GuessSchema
from service import closing
from service.api import Room, as_answer
from service.auth import caller
from service.book import book, now

room = Room("closing", description="Closing a job by a person")


@room.route("/jobs/<id:job_id>/close", methods=["POST"])
@room.arguments(CloseSchema)
@room.response(200, ClosedSchema)
@room.alt_response(409, "CONFLICT")
def post_close(body, job_id):
    """Close a job: cause found, what was done, who bears it"""
    return as_answer(closing.close(book(), caller(), job_id, body, now()))


@room.route("/jobs/<id:job_id>/first-guess", methods=["PUT"])
@room.arguments(GuessSchema)
@room.response(200, FirstGuessSchema)
@room.alt_response(409, "CONFLICT")
def put_first_guess(body, job_id):
    """Name the likeliest cause before seeing the review; the first is kept"""
    return as_answer(closing.guess_first(book(), caller(), job_id, body["cause"], now()))
