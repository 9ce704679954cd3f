"""The shop over all its jobs."""

from __future__ import annotations

from schemas.gauge_study import GaugeStudyRequestSchema, GaugeStudySchema
from schemas.workshop import (
    ComebacksQuerySchema,
    ComebacksSchema,
    StandOffsetsQuerySchema,
    StandOffsetsSchema,
    WorkshopTrendQuerySchema,
    WorkshopTrendSchema,
)
from service import comebacks, gauge_study, stand_offsets, workshop_trend
from service.api import Room, as_answer
from service.auth import caller
from service.book import book, now
from service.errors import Problem

room = Room("workshop", description="What all jobs of the shop say together")


@room.route("/workshop/trend")
@room.arguments(WorkshopTrendQuerySchema, location="query")
@room.response(200, WorkshopTrendSchema)
@room.alt_response(409, "CONFLICT")
def get_workshop_trend(query):
    """Control charts of first bench values, and capability of handed-over ones"""
    with book().reading() as db:
        return as_answer(workshop_trend.over_jobs(db, caller().shop_id, query))


@room.route("/workshop/stand-offsets")
@room.arguments(StandOffsetsQuerySchema, location="query")
@room.response(200, StandOffsetsSchema)
def get_stand_offsets(query):
    """What the stand gets systematically wrong, by adjuster and family"""
    with book().reading() as db:
        return as_answer(stand_offsets.over_jobs(db, caller().shop_id, query.get("family")))


@room.route("/workshop/comebacks")
@room.arguments(ComebacksQuerySchema, location="query")
@room.response(200, ComebacksSchema)
def get_comebacks(query):
    """How many bikes come back, why, and how soon; no person is named"""
    with book().reading() as db:
        return as_answer(comebacks.over_jobs(db, caller().shop_id, query, now()))


@room.route("/workshop/gauge-study", methods=["POST"])
@room.arguments(GaugeStudyRequestSchema)
@room.response(200, GaugeStudySchema)
@room.alt_response(403, "FORBIDDEN")
@room.alt_response(409, "CONFLICT")
def post_gauge_study(body):
    """Repeatability and reproducibility of a gauge; `adopt` makes its u the quantity's own"""
    if body["adopt"] and caller().role != "owner":
        raise Problem(403, "Only the owner's role may adopt a study.")
    return as_answer(gauge_study.run(book(), caller().shop_id, body, now()))
