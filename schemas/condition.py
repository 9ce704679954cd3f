"""A condition on the facts of a bike, as the catalogue writes it."""

from __future__ import annotations

from typing import Any

from marshmallow import ValidationError, fields

FACTS = (
    "shifting", "rear_mount", "front_derailleur", "suspension", "brakes", "tyres", "ring_count", "cog_count",
    "largest_ring", "smallest_ring", "largest_cog", "smallest_cog", "family",
)  # fmt: skip
MOST_CHOICES = 50
_TEXT = {"type": "string", "minLength": 1, "maxLength": 100, "pattern": "^[^\\u0000]*$"}
_WHOLE = {"type": "integer", "minimum": 0, "maximum": 1000}
_ONE = [_TEXT, {"type": "boolean"}, _WHOLE]
_LIST = {"type": "array", "items": {"anyOf": _ONE}, "minItems": 1, "maxItems": MOST_CHOICES}
_RANGE = {
    "type": "object", "properties": {"min": _WHOLE, "max": _WHOLE}, "additionalProperties": False, "minProperties": 1,
}  # fmt: skip


class Condition(fields.Field):
    """Every key must hold: a value is the one wanted, a list of them, or an object with min and max, inclusive."""

    def __init__(self, **kwargs) -> None:
        facts = {fact: {"anyOf": [*_ONE, _LIST, _RANGE]} for fact in FACTS}
        told = {"type": "object", "properties": facts, "additionalProperties": False}
        super().__init__(metadata={**told, **kwargs.pop("metadata", {})}, **kwargs)

    def _deserialize(self, value, attr, data, **kwargs):
        if not isinstance(value, dict):
            raise ValidationError("Must be a JSON object: conditions on the facts of a bike.")
        for fact, wanted in value.items():
            if fact not in FACTS:
                raise ValidationError(f"A bike has no fact of that name; it has {', '.join(FACTS)}.")
            if not _is_condition(wanted):
                raise ValidationError(f"{fact} must be a value, a list of values, or an object with min and max.")
        return value


def _is_condition(wanted: Any) -> bool:
    if isinstance(wanted, list):
        return 1 <= len(wanted) <= MOST_CHOICES and all(map(_is_one, wanted))
    if isinstance(wanted, dict):
        return bool(wanted) and set(wanted) <= {"min", "max"} and all(map(_is_whole, wanted.values()))
    return _is_one(wanted)


def _is_one(value: Any) -> bool:
    if isinstance(value, str):
        return 1 <= len(value) <= 100 and not any(c == "\0" or "\ud800" <= c <= "\udfff" for c in value)
    return isinstance(value, bool) or _is_whole(value)


def _is_whole(value: Any) -> bool:
    # 2.0 is whole, as JSON Schema has it.
    return not isinstance(value, bool) and isinstance(value, int | float) and value == int(value) and 0 <= value <= 1000
