"""How the readings of a bike went: one series a quantity, stage and gear."""

from __future__ import annotations

from marshmallow import fields

from .entry import STAGES
from .entry_answer import BandSchema
from .fields import Flag, Id, Many, Moment, Name, Number, OneOf, Part, QueryWhole, Strict, Text
from .reading import GearSchema

VERDICTS = ("inside", "borderline", "outside", "none")


class TrendQuerySchema(Strict):
    quantity = Name()
    stage = OneOf(*STAGES)
    ring = QueryWhole(1, 120)
    cog = QueryWhole(1, 120)


class PointSchema(Strict):
    """A reading; judged by the band that was in force when the service received it."""

    entry_id = Id(required=True)
    job_id = Id(required=True)
    stage = OneOf(*STAGES, required=True)
    taken_at = Moment(required=True, metadata={"description": "the phone's clock put right"})
    odometer_km = Number(required=True, allow_none=True)
    value = Number(required=True)
    u = Number(required=True, allow_none=True)
    low = Number(allow_none=True)
    high = Number(allow_none=True)
    verdict = OneOf(*VERDICTS, required=True)
    p_inside = Number(required=True, allow_none=True)
    band = Part(BandSchema, required=True, allow_none=True)


class BaselineSchema(Strict):
    """The value of the last handover."""

    record_id = Id(required=True)
    job_id = Id(required=True)
    handed_over_at = Moment(required=True)
    value = Number(required=True, allow_none=True)
    u = Number(required=True, allow_none=True)
    verdict = OneOf(*VERDICTS, required=True)
    why_not = Text(allow_none=True)


class HangerTurnedSchema(Strict):
    """How the bend changed, as a vector: mm peak to peak at the rim; vertical is 12 minus 6, fore and aft 3 minus 9."""

    size_mm = Number(required=True)
    towards_clock = Number(required=True, allow_none=True)
    vertical_mm = Number(required=True)
    fore_aft_mm = Number(required=True)
    p = Number(required=True)


class ChangeSinceSchema(Strict):
    """Latest less baseline; `real` where it is more than the measuring can explain."""

    delta = Number(required=True)
    u = Number(required=True)
    real = Flag(required=True)
    hanger = Part(HangerTurnedSchema, metadata={"description": "of a hanger only: `real` is then that of its bend"})


class SlopeSchema(Strict):
    per = OneOf("1000 km", "30 d", required=True)
    value = Number(required=True)
    low = Number(required=True)
    high = Number(required=True)
    confidence = Number(required=True, metadata={"description": "the level that the sample attains"})
    p = Number(required=True, metadata={"description": "Mann-Kendall"})


class Place(fields.Raw):
    """A place on a trend's axis: an odometer's km where every reading has them, else a moment."""

    def __init__(self, **kwargs):
        super().__init__(metadata={"type": ["number", "string"], "description": "km or moment"}, **kwargs)


class ForecastSchema(Strict):
    """Where the line leaves the band; high is null where no end can be foreseen."""

    leaves_at = Place(required=True)
    low = Place(required=True)
    high = Place(required=True, allow_none=True)


class JumpSchema(Strict):
    """A jump between the readings at low and high: an odometer's km, or a moment. Slope and forecast follow it."""

    at = Place(required=True)
    low = Place(required=True)
    high = Place(required=True)
    size = Number(required=True)


class SeriesSchema(Strict):
    """What cannot be computed is null, with its reason in `why_not` under the same key."""

    quantity = Name(required=True)
    unit = Text(required=True)
    stage = OneOf(*STAGES, required=True)
    gear = Part(GearSchema, required=True, allow_none=True)
    points = Many(Part(PointSchema), 100_000, required=True)
    band = Part(BandSchema, required=True, allow_none=True, metadata={"description": "in force now"})
    baseline = Part(BaselineSchema, required=True, allow_none=True)
    latest = Part(PointSchema, required=True, allow_none=True)
    change = Part(ChangeSinceSchema, required=True, allow_none=True)
    slope = Part(SlopeSchema, required=True, allow_none=True)
    forecast = Part(ForecastSchema, required=True, allow_none=True)
    step = Part(JumpSchema, required=True, allow_none=True)
    note = Text(1000, required=True, allow_none=True, metadata={"description": "what slope and forecast are of"})
    why_not = fields.Dict(required=True, metadata={"additionalProperties": {"type": "string"}})


class TrendSchema(Strict):
    bike_id = Id(required=True)
    series = Many(Part(SeriesSchema), 1000, required=True)
