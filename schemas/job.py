"""Jobs: one visit of one bike."""

from __future__ import annotations

from .base_seq import BASE_SEQ
from .fields import Id, Many, Moment, Name, OneOf, Part, Strict, Text, Whole

KINDS = ("build", "service", "comeback")
STATES = ("open", "handed_over", "closed")


class ComplaintSchema(Strict):
    symptoms = Many(Name(), 30, different=True, required=True)
    words = Text(2000, 0, required=True)


class JobBodySchema(Strict):
    bike_id = Id(required=True)
    kind = OneOf(*KINDS, required=True)
    opened_at = Moment(required=True)
    comeback_of = Id(metadata={"description": "the job whose set-up came back"})
    missing_parts = Many(Name(), 50, different=True)
    complaint = Part(ComplaintSchema)
    since_last = Many(Name(), 20, different=True, metadata={"description": "what happened since the last visit"})


class JobPutSchema(JobBodySchema):
    base_seq = Whole(required=True, allow_none=True, metadata=BASE_SEQ)


class JobSchema(JobBodySchema):
    id = Id(required=True)
    seq = Whole(required=True)
    state = OneOf(*STATES, required=True)
    updated_at = Moment(required=True)


class JobsSchema(Strict):
    jobs = Many(Part(JobSchema), 10000, required=True)
