"""The plan of a job, and the shop's own steps."""

from __future__ import annotations

from schemas.plan import PlanSchema, StepsPutSchema, StepsSchema
from service import plan
from service.api import Room, as_answer
from service.auth import caller, owner_only
from service.book import book, now
from service.routes.job import known_job

room = Room("plan", description="The plan of a job: what is done, ready, waiting or held")


@room.route("/jobs/<id:job_id>/plan")
@room.response(200, PlanSchema)
def get_plan(job_id):
    """Steps in working order, what each missing part holds up, and what blocks the ride"""
    with book().reading() as db:
        return as_answer(plan.of_job(db, caller().shop_id, known_job(db, job_id)))


@room.route("/workshop/plan")
@room.response(200, StepsSchema)
def get_steps():
    """The steps in force: the shop's own, else the catalogue's"""
    with book().reading() as db:
        return as_answer(plan.steps_in_force(db, caller().shop_id))


@room.route("/workshop/plan", methods=["PUT"])
@owner_only
@room.arguments(StepsPutSchema)
@room.response(200, StepsSchema)
@room.alt_response(403, "FORBIDDEN")
@room.alt_response(409, "CONFLICT")
def put_steps(body):
    """Put the shop's own steps in force; a cycle is refused and named"""
    return as_answer(plan.save_steps(book(), caller().shop_id, caller().person_id, body["steps"], now()))
