"""Entries: anything logged in a job. One schema a kind; `kind` tells them apart.

An entry of a batch is judged by itself, so the batch takes any object as an item and documents both.
"""

from __future__ import annotations

from typing import Any, ClassVar

from marshmallow import ValidationError, fields

from .fields import Id, Many, Moment, Name, Number, OneOf, Part, Sha256, Strict, Text, Whole, shown
from .reading import GearSchema, ReadingData

STAGES = ("found", "bench", "road")
UNIT = {"description": "a unit of the catalogue"}


class AdjustmentDataSchema(Strict):
    """The net amount since the last stop, positive as the catalogue says of the adjuster."""

    adjuster = Name(required=True)
    amount = Number(-10_000, 10_000, required=True)
    unit = Text(16, required=True, metadata=UNIT)
    because = Name(metadata={"description": "a symptom of the catalogue"})
    effect = OneOf("better", "same", "worse")


class ShiftCheckDataSchema(Strict):
    from_ = Part(GearSchema, required=True, data_key="from")
    to = Part(GearSchema, required=True)
    outcome = Name(required=True)


class NoiseDataSchema(Strict):
    sound = Name(required=True)
    when = Many(Name(), 10, different=True, required=True)
    cadence_rpm = Number(1, 300)
    speed_kmh = Number(0, 150)
    count_in_ten_turns = Number(0, 1000)
    taps_ms = Many(Number(0, 10_000_000), 500, metadata={"description": "moments of the taps"})
    crank_taps_ms = Many(Number(0, 10_000_000), 500)
    level = Number(0, 10)


class TorqueDataSchema(Strict):
    fastener = Name(required=True)
    applied = Number(0, 100_000, required=True)
    unit = Text(16, required=True, metadata=UNIT)
    target = Number(above=0, highest=100_000, metadata={"description": "the maker's figure at the fastener, in `unit`"})
    wrench_mm = Number(10, 3000)
    adapter_mm = Number(-1000, 1000)
    angle_deg = Number(-180, 180)


class CheckDataSchema(Strict):
    check = Name(required=True)
    outcome = OneOf("passed", "failed", "not_done", required=True)


class DeclinedDataSchema(Strict):
    work = Text(500, required=True)


class RemarkDataSchema(Strict):
    text = Text(4000, required=True)


class VoidDataSchema(Strict):
    pass


class EntrySchema(Strict):
    """What entries of every kind have."""

    id = Id(required=True)
    job_id = Id(required=True)
    device_seq = Whole(required=True, metadata={"description": "the device's own count of its entries"})
    stage = OneOf(*STAGES, required=True)
    taken_at = Moment(required=True)
    by = Id(metadata={"description": "the person; without it, the device's own"})
    replaces = Id(metadata={"description": "the entry of the same job that this one corrects"})
    gear = Part(GearSchema)
    gauge_id = Id()
    odometer_km = Number(0, 1_000_000)
    note = Text(2000, 0)
    photos = Many(Sha256(), 20, different=True)


class ReadingEntrySchema(EntrySchema):
    kind = OneOf("reading", required=True)
    data = ReadingData(required=True)


class AdjustmentEntrySchema(EntrySchema):
    kind = OneOf("adjustment", required=True)
    data = Part(AdjustmentDataSchema, required=True)


class ShiftCheckEntrySchema(EntrySchema):
    kind = OneOf("shift_check", required=True)
    data = Part(ShiftCheckDataSchema, required=True)


class NoiseEntrySchema(EntrySchema):
    kind = OneOf("noise", required=True)
    data = Part(NoiseDataSchema, required=True)


class TorqueEntrySchema(EntrySchema):
    kind = OneOf("torque", required=True)
    data = Part(TorqueDataSchema, required=True)


class CheckEntrySchema(EntrySchema):
    kind = OneOf("check", required=True)
    data = Part(CheckDataSchema, required=True)


class DeclinedEntrySchema(EntrySchema):
    kind = OneOf("declined", required=True)
    data = Part(DeclinedDataSchema, required=True)


class RemarkEntrySchema(EntrySchema):
    kind = OneOf("remark", required=True)
    data = Part(RemarkDataSchema, required=True)


class VoidEntrySchema(EntrySchema):
    """Takes an entry out of computing; it stays readable."""

    kind = OneOf("void", required=True)
    replaces = Id(required=True)
    data = Part(VoidDataSchema, required=True)


KINDS: dict[str, type[EntrySchema]] = {
    "reading": ReadingEntrySchema,
    "adjustment": AdjustmentEntrySchema,
    "shift_check": ShiftCheckEntrySchema,
    "noise": NoiseEntrySchema,
    "torque": TorqueEntrySchema,
    "check": CheckEntrySchema,
    "declined": DeclinedEntrySchema,
    "remark": RemarkEntrySchema,
    "void": VoidEntrySchema,
}
_LOADERS = {kind: schema() for kind, schema in KINDS.items()}


def is_known(kind: Any) -> bool:
    return isinstance(kind, str) and kind in _LOADERS


def load_entry(raw: dict[str, Any]) -> dict[str, Any]:
    """The entry as its kind has it. Raises marshmallow.ValidationError with the fields at fault."""
    kind = raw.get("kind")
    if not is_known(kind):
        raise ValidationError({"kind": [f"Must be one of {', '.join(KINDS)}, not {shown(kind)}."]})
    return _LOADERS[kind].load(raw)


class UnjudgedEntry(fields.Field):
    """An item of a batch: any object. Its fault is its own and does not hold up the others."""

    default_error_messages: ClassVar[dict[str, str]] = {"null": "Must be a JSON object."}

    def __init__(self, **kwargs: Any) -> None:
        either = [{"$ref": "#/components/schemas/Entry"}, {"type": "object"}]
        super().__init__(metadata={"anyOf": either}, **kwargs)

    def _deserialize(self, value, attr, data, **kwargs):
        if not isinstance(value, dict):
            raise ValidationError("Must be a JSON object.")
        return value


class BatchSchema(Strict):
    device_id = Id(required=True)
    contract = Whole(1, 1000, required=True, metadata={"description": "the contract's version that the phone knows"})
    epoch = Id(metadata={"description": "the epoch the phone knows"})
    sent_at = Moment(required=True, metadata={"description": "the phone's clock when it sent this"})
    entries = Many(UnjudgedEntry(), 200, 1, required=True)
