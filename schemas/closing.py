"""Closing a job: the cause found, what was done, and who bears it."""

from __future__ import annotations

from .fields import Id, Moment, Name, OneOf, Part, Strict, Text, Whole

OUTCOMES = ("found", "not_found", "no_fault")


class CloseSchema(Strict):
    id = Id(required=True, metadata={"description": "made by the caller; the same id again changes nothing"})
    outcome = OneOf(*OUTCOMES, required=True, metadata={"description": "whether the cause was found"})
    cause = Name(allow_none=True, metadata={"description": "a cause of the table, or none_of_these"})
    remedy = Text(2000, 0, allow_none=True)
    borne_by = OneOf("shop", "rider", allow_none=True)
    replaces = Id(metadata={"description": "the closing that this one corrects"})


class ClosingSchema(CloseSchema):
    closed_at = Moment(required=True)
    by = Id(required=True)


class ClosedSchema(Strict):
    """The job's closing. `seq` is the job's newest."""

    job_id = Id(required=True)
    state = OneOf("closed", required=True)
    seq = Whole(required=True)
    closing = Part(ClosingSchema, required=True)


class GuessSchema(Strict):
    cause = Name(required=True, metadata={"description": "a cause of the table, or none_of_these"})


class FirstGuessSchema(GuessSchema):
    by = Id(required=True)
    at = Moment(required=True)
