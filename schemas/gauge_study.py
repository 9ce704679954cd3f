"""A gauge study: readings of parts by persons in, what the gauge and the hands add out."""

from __future__ import annotations

from marshmallow import fields

from .fields import Flag, Many, Name, Number, Part, Strict, Text, Whole

COMPUTED = 1e30  # sums of squares of the largest numbers that a request may hold stay below


class StudyReadingSchema(Strict):
    part = Text(80, required=True)
    person = Text(80, required=True)
    value = Number(required=True)


class GaugeStudyRequestSchema(Strict):
    """Every person measures every part equally often, at least twice; values in the quantity's unit."""

    quantity = Name(required=True)
    readings = Many(Part(StudyReadingSchema), 2000, required=True)
    adopt = Flag(load_default=False, metadata={"description": "make u the quantity's own; the owner's role only"})


class AnovaRowSchema(Strict):
    source = Text(required=True)
    df = Whole(required=True)
    ss = Number(0, COMPUTED, required=True)
    ms = Number(0, COMPUTED, required=True, allow_none=True)
    f = Number(0, COMPUTED, required=True, allow_none=True)
    p = Number(0, 1, required=True, allow_none=True)


class InteractionSchema(Strict):
    """Pooled with the repeats only where it is not significant, p above 0.25."""

    p = Number(0, 1, required=True, allow_none=True)
    pooled = Flag(required=True)


class VarianceSchema(Strict):
    """In the unit squared; gauge is repeatability, reproducibility and interaction together."""

    repeatability = Number(0, COMPUTED, required=True)
    reproducibility = Number(0, COMPUTED, required=True)
    interaction = Number(0, COMPUTED, required=True)
    part = Number(0, COMPUTED, required=True)
    gauge = Number(0, COMPUTED, required=True)


class GaugeStudySchema(Strict):
    """What cannot be computed is null, with its reason in `why_not` under the same key."""

    quantity = Name(required=True)
    unit = Text(required=True)
    anova = Many(Part(AnovaRowSchema), 6, required=True, allow_none=True)
    interaction = Part(InteractionSchema, required=True, allow_none=True)
    variance = Part(VarianceSchema, required=True, allow_none=True)
    share_of_study_variation = Number(0, 1, required=True, allow_none=True)
    distinct_categories = Whole(required=True, allow_none=True, metadata={"description": "truncated, not rounded"})
    u = Number(0, COMPUTED, required=True, allow_none=True, metadata={"description": "of one reading, standard"})
    adopted = Flag(required=True)
    why_not = fields.Dict(required=True, metadata={"additionalProperties": {"type": "string"}})
