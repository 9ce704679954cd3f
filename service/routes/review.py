"""The review of a comeback."""

from __future__ import annotations

from schemas.review import ReviewSchema
from service import review
from service.api import Room, as_answer
from service.auth import caller
from service.book import book
from service.routes.job import known_job

room = Room("review", description="The review of a comeback")


@room.route("/jobs/<id:job_id>/review")
@room.response(200, ReviewSchema)
def get_review(job_id):
    """The bike as found beside its last handover: what moved, which cause fits, what to measure next"""
    with book().reading() as db:
        return as_answer(review.of_job(db, caller().shop_id, known_job(db, job_id)))
