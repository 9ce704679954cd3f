"""The shop over all its jobs: control charts, stand offsets, comebacks."""

from __future__ import annotations

from marshmallow import fields

from .entry_answer import BandSchema
from .fields import Day, Flag, Id, Many, Matching, Moment, Name, Number, OneOf, Part, QueryWhole, Strict, Text, Whole
from .reading import GearSchema

JOBS = 100_000
FAMILY_PATTERN = "^(electronic|cable)-[0-9x-]{3,120}$"


class Family(Matching):
    """A drivetrain family, as a bike shows it."""

    def __init__(self, **kwargs):
        super().__init__(FAMILY_PATTERN, "a family, such as cable-11x1-11-42-40", 131, **kwargs)


class Computed(Number):
    """A number that came out of computing: finite, but not held to what a workshop can measure."""

    def __init__(self, **kwargs):
        super().__init__(-1e30, 1e30, **kwargs)


def _why_not() -> fields.Dict:
    return fields.Dict(required=True, metadata={"additionalProperties": {"type": "string"}})


class PeriodQuerySchema(Strict):
    """Days in UTC, both counted in; without them everything there is."""

    from_ = Day(data_key="from")
    to = Day()


class WorkshopTrendQuerySchema(PeriodQuerySchema):
    quantity = Name(required=True)
    family = Family()
    ring = QueryWhole(1, 120)
    cog = QueryWhole(1, 120)
    zones = OneOf("yes", "no", load_default="no", metadata={"description": "the zone rules besides: loud"})


class FirstValueSchema(Strict):
    entry_id = Id(required=True)
    job_id = Id(required=True)
    bike_id = Id(required=True)
    taken_at = Moment(required=True)
    value = Computed(required=True)


class IndividualsSchema(Strict):
    """Places are indices into `values`. `provisional` below twenty values: such limits still move."""

    centre = Computed(required=True)
    sigma = Computed(required=True)
    lower = Computed(required=True)
    upper = Computed(required=True)
    beyond = Many(Whole(), JOBS, required=True)
    moving_ranges = Many(Computed(), JOBS, required=True, metadata={"description": "the first is that of value 1 to 0"})
    mean_moving_range = Computed(required=True)
    moving_range_upper = Computed(required=True)
    moving_ranges_beyond = Many(Whole(), JOBS, required=True)
    provisional = Flag(required=True)


class WeightedSchema(Strict):
    """Exponentially weighted means, one a value."""

    weight = Computed(required=True)
    means = Many(Computed(), JOBS, required=True)
    lower = Computed(required=True)
    upper = Computed(required=True)
    beyond = Many(Whole(), JOBS, required=True)


class ZoneAlarmSchema(Strict):
    index = Whole(required=True)
    rule = Text(required=True)


class CapabilityIndexSchema(Strict):
    value = Computed(required=True)
    low = Computed(required=True)
    high = Computed(required=True)


class CapabilitySchema(Strict):
    """Of handed-over values, which are those after adjusting; cp is null for a one-sided band."""

    cp = Part(CapabilityIndexSchema, required=True, allow_none=True)
    cpk = Part(CapabilityIndexSchema, required=True)
    mean = Computed(required=True)
    sd = Computed(required=True)
    n = Whole(required=True)
    confidence = Computed(required=True)
    after_adjusting = Flag(required=True)


class WorkshopTrendSchema(Strict):
    """One quantity of many bikes. What cannot be computed is null, with its reason in `why_not`."""

    quantity = Name(required=True)
    unit = Text(required=True)
    family = Family(required=True, allow_none=True)
    gear = Part(GearSchema, required=True, allow_none=True, metadata={"description": "the one charted"})
    values = Many(Part(FirstValueSchema), JOBS, required=True)
    individuals = Part(IndividualsSchema, required=True, allow_none=True)
    weighted = Part(WeightedSchema, required=True, allow_none=True)
    zones = Many(Part(ZoneAlarmSchema), JOBS, required=True, allow_none=True)
    capability = Part(CapabilitySchema, required=True, allow_none=True)
    band = Part(BandSchema, required=True, allow_none=True, metadata={"description": "in force now"})
    note = Text(1000, required=True, allow_none=True)
    why_not = _why_not()


class StandOffsetsQuerySchema(Strict):
    family = Family()


class StandOffsetSchema(Strict):
    """Net correction that rides needed; positive as the adjuster says. Null numbers have their reason in `advice`."""

    adjuster = Name(required=True)
    label = Text(required=True)
    unit = Text(required=True)
    positive = Text(required=True)
    negative = Text(required=True)
    family = Family(required=True, allow_none=True, metadata={"description": "null: all families together"})
    n = Whole(required=True, metadata={"description": "jobs with a ride that is over"})
    value = Computed(required=True, allow_none=True)
    low = Computed(required=True, allow_none=True)
    high = Computed(required=True, allow_none=True)
    confidence = Computed(required=True, allow_none=True, metadata={"description": "the level that the sample attains"})
    certain = Flag(required=True)
    rides_needed = Whole(required=True, allow_none=True, metadata={"description": "null: none would tell"})
    advice = Text(500, required=True)


class StandOffsetsSchema(Strict):
    offsets = Many(Part(StandOffsetSchema), 1000, required=True)


class ComebacksQuerySchema(PeriodQuerySchema):
    """`against` compares its family with `family`; without it cable is compared with electronic shifting."""

    family = Family()
    against = Family()


class ShareSchema(Strict):
    count = Whole(required=True)
    n = Whole(required=True)
    share = Computed(required=True)
    low = Computed(required=True)
    high = Computed(required=True)


class CauseShareSchema(ShareSchema):
    cause = Name(required=True, allow_none=True, metadata={"description": "null: not found so far"})
    label = Text(required=True)


class FamilyShareSchema(ShareSchema):
    family = Family(required=True)


class StayingOutSchema(Strict):
    """Share of jobs not yet back after each of `days` (Kaplan-Meier), those not back so far at `not_back_days`."""

    days = Many(Computed(), JOBS, required=True)
    at_risk = Many(Whole(), JOBS, required=True)
    share = Many(Computed(), JOBS, required=True)
    low = Many(Computed(), JOBS, required=True)
    high = Many(Computed(), JOBS, required=True)
    not_back_days = Many(Computed(), JOBS, required=True)
    median_days = Computed(required=True, allow_none=True)


class ComebackGroupSchema(Strict):
    name = Text(131, required=True)
    n = Whole(required=True)
    came_back = Whole(required=True)
    expected = Computed(required=True, allow_none=True, metadata={"description": "if the groups did not differ"})
    staying_out = Part(StayingOutSchema, required=True, allow_none=True)
    why_not = _why_not()


class LogRankSchema(Strict):
    chi2 = Computed(required=True)
    p = Computed(required=True)


class ComebacksSchema(Strict):
    """Builds and services that were handed over in the period, and which of them came back. No person is named."""

    comebacks = Part(ShareSchema, required=True, allow_none=True)
    by_cause = Many(Part(CauseShareSchema), 1000, required=True)
    by_family = Many(Part(FamilyShareSchema), 1000, required=True)
    staying_out = Part(StayingOutSchema, required=True, allow_none=True)
    groups = Many(Part(ComebackGroupSchema), 2, required=True)
    comparison = Part(LogRankSchema, required=True, allow_none=True, metadata={"description": "log-rank test"})
    left_out = Whole(required=True, metadata={"description": "comebacks that belong to no handed-over job of these"})
    why_not = _why_not()
