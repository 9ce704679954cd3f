"""Jobs."""

from __future__ import annotations

from schemas.job import JobPutSchema, JobSchema
from service import job as jobs
from service.api import Room
from service.auth import caller
from service.book import book, now
from service.errors import Problem
from service.store import job

room = Room("job", description="Jobs: one visit of one bike")


def known_job(db, job_id: str) -> dict:
    """The job, or 404. Shared by every address below a job."""
    found = job.get(db, caller().shop_id, job_id)
    if found is None:
        raise Problem(404, "This job is not in the book.")
    return found


@room.route("/jobs/<id:job_id>")
@room.response(200, JobSchema)
def get_job(job_id):
    """One job"""
    with book().reading() as db:
        return known_job(db, job_id)


@room.route("/jobs/<id:job_id>", methods=["PUT"])
@room.arguments(JobPutSchema)
@room.response(200, JobSchema)
@room.alt_response(409, "CONFLICT")
def put_job(body, job_id):
    """Open a job, or change it on top of the seq that was last seen"""
    return jobs.save(book(), caller().shop_id, job_id, body, now())
