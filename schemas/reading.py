"""What a reading holds: one value, a go / no-go pair, or the gauge-tip gaps of a hanger."""

from __future__ import annotations

from typing import Any

from marshmallow import Schema, ValidationError, fields

from .fields import Many, Name, Number, Part, Strict, Text, Whole

UNIT = {"description": "a unit of the catalogue, of the same dimension as the quantity's own"}


class GearSchema(Strict):
    """Teeth of the ring and of the cog."""

    ring = Whole(1, 120, required=True)
    cog = Whole(1, 120, required=True)


class ValueReadingSchema(Strict):
    quantity = Name(required=True)
    value = Number(required=True)
    unit = Text(16, required=True, metadata=UNIT)


class IntervalReadingSchema(Strict):
    """What goes is the lower bound, what does not is the upper one."""

    quantity = Name(required=True)
    low = Number(required=True)
    high = Number(required=True)
    unit = Text(16, required=True, metadata=UNIT)


class TipSchema(Strict):
    """The gap between rim and gauge tip at a place of the clock face, 12 up and 3 forward."""

    clock = Number(0, 12, required=True)
    gap_mm = Number(-200, 500, required=True)


class HangerReadingSchema(Strict):
    quantity = Name(required=True)
    tips = Many(Part(TipSchema), 24, 2, required=True)
    radius_mm = Number(10, 1000, metadata={"description": "where the tip touches; half the bead seat without it"})


class ReadingData(fields.Field):
    """One of the three forms, told apart by the fields that only one of them has."""

    forms: tuple[type[Schema], ...] = (ValueReadingSchema, IntervalReadingSchema, HangerReadingSchema)

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._value, self._interval, self._hanger = (form() for form in self.forms)

    def _deserialize(self, value, attr, data, **kwargs):
        if not isinstance(value, dict):
            raise ValidationError("Must be a JSON object.")
        if "tips" in value:
            return self._hanger.load(value)
        return (self._interval if "low" in value or "high" in value else self._value).load(value)
