"""The review of a comeback."""

from __future__ import annotations

from marshmallow import fields

from .closing import ClosingSchema, FirstGuessSchema
from .entry_answer import StoredEntrySchema
from .fields import Flag, Id, Many, Moment, Name, Number, OneOf, Part, Strict, Text, Whole
from .job import ComplaintSchema
from .plan import NamedSchema
from .reading import GearSchema


class MeasuredSchema(Strict):
    """A quantity at the handover or on arrival; where `value` is null, `why_not` says why."""

    value = Number(required=True, allow_none=True)
    u = Number(required=True, allow_none=True)
    verdict = OneOf("inside", "borderline", "outside", "none", required=True)
    p_inside = Number(0, 1, required=True, allow_none=True)
    entry_id = Id(required=True, allow_none=True)
    taken_at = Moment(required=True, allow_none=True)
    why_not = Text(500, required=True, allow_none=True)


class WithUSchema(Strict):
    value = Number(required=True)
    u = Number(required=True)


class ChangeSeenSchema(Strict):
    """`p_together` and `real` are judged over all readings by Holm's method; a setting has no p_together."""

    delta = Number(required=True)
    u = Number(required=True)
    p = Number(0, 1, required=True)
    p_together = Number(0, 1, required=True, allow_none=True)
    real = Flag(required=True)
    towards_clock = Number(required=True, allow_none=True)
    vertical_mm = Part(WithUSchema, required=True, allow_none=True)


class ComparedSchema(Strict):
    quantity = Name(required=True)
    label = Text(required=True)
    unit = Text(required=True)
    gear = Part(GearSchema, required=True, allow_none=True)
    then = Part(MeasuredSchema, required=True, allow_none=True)
    now = Part(MeasuredSchema, required=True, allow_none=True)
    change = Part(ChangeSeenSchema, required=True, allow_none=True)
    why_not = Text(500, required=True, allow_none=True)


class ReasonSchema(Strict):
    """`ratio`: how many times likelier this is with the cause than with all others together, to 1e9 at most."""

    of = Text(required=True)
    words = Text(500, required=True)
    ratio = Number(0, required=True)


CauseCandidateSchema = Strict.from_dict(
    {
        "id": Name(required=True),
        "label": Text(required=True),
        "prior": Number(0, 1, required=True),
        "probability": Number(0, 1, required=True),
        "for": Many(Part(ReasonSchema), 200, required=True),
        "against": Many(Part(ReasonSchema), 200, required=True),
    },
    name="CauseCandidateSchema",
)


class SecondCauseSchema(Strict):
    """Two causes at once: how probable, and the most probable pair."""

    probability = Number(0, 1, required=True)
    causes = Many(Part(NamedSchema), 2, 2, required=True)
    pair_probability = Number(0, 1, required=True)


class GainSchema(Strict):
    """What to measure next: its expected information gain, of what is open between the causes, in bits."""

    of = Text(required=True)
    label = Text(required=True)
    bits = Number(0, required=True)
    open_bits = Number(0, required=True)


class ConsistencySchema(Strict):
    predicted = Number(required=True)
    u_predicted = Number(required=True)
    needed = Number(required=True)
    agrees = Flag(required=True)
    words = Text(500, required=True)


class LastHandoverSchema(Strict):
    job_id = Id(required=True)
    record_id = Id(required=True, allow_none=True)
    handed_over_at = Moment(required=True, allow_none=True)


class ReviewSchema(Strict):
    job_id = Id(required=True)
    baseline = Part(LastHandoverSchema, required=True, allow_none=True)
    complaint = Part(ComplaintSchema, required=True, allow_none=True)
    since_last = Many(Name(), 20, required=True)
    compared = Many(Part(ComparedSchema), 1000, required=True)
    causes = Many(Part(CauseCandidateSchema), 101, required=True, metadata={"description": "the most probable first"})
    second_cause = Part(SecondCauseSchema, required=True, allow_none=True)
    next = Many(Part(GainSchema), 5, required=True)
    consistency = Part(ConsistencySchema, required=True, allow_none=True)
    first_guess = Part(FirstGuessSchema, required=True, allow_none=True)
    closing = Part(ClosingSchema, required=True, allow_none=True)
    learned_from = Whole(required=True, metadata={"description": "closed comebacks that taught the priors"})
    road_log = Many(Part(StoredEntrySchema), 100_000, required=True, metadata={"description": "of the original job"})
    why_not = fields.Dict(keys=Name(), values=Text(500), required=True)
