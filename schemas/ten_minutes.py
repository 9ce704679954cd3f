"""Ten minutes left: what to check on this bike."""

from __future__ import annotations

from .fields import Id, Many, Name, Number, OneOf, Part, Strict, Text
from .plan import NamedSchema


class PreventedSchema(NamedSchema):
    prevented = Number(0, 1, required=True)


class AdviceSchema(Strict):
    """`prevented`: comebacks expected to be prevented by this check, of one bike like this."""

    what = Name(required=True)
    kind = OneOf("reading", "torque", "check", required=True)
    label = Text(required=True)
    prevented = Number(0, 1, required=True)
    causes = Many(Part(PreventedSchema), 100, required=True)
    words = Text(500, required=True)


class TenMinutesSchema(Strict):
    """Open checks of the bike's open job, the one that prevents most first."""

    bike_id = Id(required=True)
    job_id = Id(required=True, allow_none=True)
    comeback_rate = Number(0, 1, required=True, metadata={"description": "expected for a bike of this family"})
    advice = Many(Part(AdviceSchema), 200, required=True)
    why_not = Text(500, required=True, allow_none=True)
