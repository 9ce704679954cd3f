"""Strict fields. JSON in, the same JSON out: nothing is turned from text into a number or cut to fit.

Each field documents itself with the very limits it checks, so that the document and the loader judge alike.
"""

from __future__ import annotations

import re
from datetime import date, datetime
from math import isfinite
from typing import Any

from marshmallow import RAISE, Schema, ValidationError, fields

LARGEST = 1e9  # no quantity, count or amount of a workshop comes near it
WHOLE_LIMIT = 2**53 - 1  # beyond it JSON numbers lose digits (RFC 8259, section 6)

UUID_PATTERN = "^[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}$"
_UUID = re.compile(UUID_PATTERN.removesuffix("$") + r"\Z").match
NAME_PATTERN = "^[a-z][a-z0-9_]{0,63}$"
SHA256_PATTERN = "^[0-9a-f]{64}$"
DAY_PATTERN = "^(19[7-9][0-9]|2[01][0-9]{2})-(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])$"
MOMENT_PATTERN = (
    "^(19[7-9][0-9]|2[01][0-9]{2})-(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])"
    "T([01][0-9]|2[0-3]):[0-5][0-9]:[0-5][0-9](\\.[0-9]{1,9})?(Z|[+-]([01][0-9]|2[0-3]):[0-5][0-9])$"
)


def shown(value: Any) -> str:
    """A value as it is quoted in an error: short, and never a way to echo a whole body."""
    text = repr(value)
    return text if len(text) <= 40 else text[:37] + "..."


def is_uuid(value: Any) -> bool:
    """Whether a value is a UUID as the contract writes it."""
    return isinstance(value, str) and _UUID(value) is not None


class Strict(Schema):
    """Base of every schema: unknown fields are refused."""

    class Meta:
        unknown = RAISE

    error_messages = {  # noqa: RUF012 - marshmallow reads a plain class attribute
        "unknown": "There is no such field here.",
        "type": "Must be a JSON object.",
    }


_MESSAGES = {
    "required": "This field is missing.",
    "null": "Must not be null.",
}


class _Field(fields.Field):
    default_error_messages = _MESSAGES


class Number(_Field):
    """A JSON number: finite, not a text, not true or false."""

    def __init__(self, lowest: float = -LARGEST, highest: float = LARGEST, *, above: float | None = None, **kwargs):
        limits = {"minimum": lowest} if above is None else {"exclusiveMinimum": above}
        limits |= {"type": "number", "maximum": highest}
        super().__init__(metadata={**limits, **kwargs.pop("metadata", {})}, **kwargs)
        self.lowest, self.highest, self.above = lowest, highest, above

    def _deserialize(self, value, attr, data, **kwargs):
        if isinstance(value, bool) or not isinstance(value, int | float) or not isfinite(value):
            raise ValidationError(f"Must be an ordinary number, not {shown(value)}.")
        if self.above is not None and value <= self.above:
            raise ValidationError(f"Must be above {self.above:g}.")
        if not (self.above is not None or value >= self.lowest) or value > self.highest:
            raise ValidationError(f"Must lie between {self.lowest:g} and {self.highest:g}.")
        return value


class Whole(_Field):
    """A whole JSON number; 2.0 counts as 2, as JSON Schema has it."""

    def __init__(self, lowest: int = 0, highest: int = WHOLE_LIMIT, **kwargs):
        limits = {"type": "integer", "minimum": lowest, "maximum": highest}
        super().__init__(metadata={**limits, **kwargs.pop("metadata", {})}, **kwargs)
        self.lowest, self.highest = lowest, highest

    def _deserialize(self, value, attr, data, **kwargs):
        if isinstance(value, float) and value.is_integer():
            value = int(value)
        if isinstance(value, bool) or not isinstance(value, int):
            raise ValidationError(f"Must be a whole number, not {shown(value)}.")
        if not self.lowest <= value <= self.highest:
            raise ValidationError(f"Must lie between {self.lowest} and {self.highest}.")
        return value


class QueryWhole(Whole):
    """A whole number in a query, where everything comes as text."""

    def _deserialize(self, value, attr, data, **kwargs):
        if not re.fullmatch(r"-?[0-9]{1,16}", value):
            raise ValidationError(f"Must be a whole number, not {shown(value)}.")
        return super()._deserialize(int(value), attr, data, **kwargs)


class Flag(_Field):
    """true or false, nothing that looks like it."""

    def __init__(self, **kwargs):
        super().__init__(metadata={"type": "boolean", **kwargs.pop("metadata", {})}, **kwargs)

    def _deserialize(self, value, attr, data, **kwargs):
        if not isinstance(value, bool):
            raise ValidationError(f"Must be true or false, not {shown(value)}.")
        return value


class Text(_Field):
    """A text that SQLite and UTF-8 can hold: no NUL, no half of a surrogate pair."""

    def __init__(self, longest: int = 200, shortest: int = 1, **kwargs):
        limits = {"type": "string", "minLength": shortest, "maxLength": longest, "pattern": "^[^\\u0000]*$"}
        super().__init__(metadata={**limits, **kwargs.pop("metadata", {})}, **kwargs)
        self.longest, self.shortest = longest, shortest

    def _deserialize(self, value, attr, data, **kwargs):
        if not isinstance(value, str):
            raise ValidationError(f"Must be a text, not {shown(value)}.")
        if not self.shortest <= len(value) <= self.longest:
            raise ValidationError(f"Must have {self.shortest} to {self.longest} characters.")
        if "\0" in value:
            raise ValidationError("Must not contain the character NUL.")
        if not value.isascii() and any("\ud800" <= c <= "\udfff" for c in value):
            raise ValidationError("Must not contain half of a surrogate pair.")
        return value


class Matching(_Field):
    """A text of a fixed form."""

    def __init__(self, pattern: str, words: str, longest: int, shortest: int = 1, **kwargs):
        limits = {"type": "string", "pattern": pattern, "minLength": shortest, "maxLength": longest}
        super().__init__(metadata={**limits, **kwargs.pop("metadata", {})}, **kwargs)
        self._matches, self._words = re.compile(pattern.removesuffix("$") + r"\Z").match, words

    def _deserialize(self, value, attr, data, **kwargs):
        if not isinstance(value, str) or not self._matches(value):
            raise ValidationError(f"Must be {self._words}, not {shown(value)}.")
        return value


class Id(Matching):
    """A UUID in its canonical lower-case form, and no other form of it."""

    def __init__(self, **kwargs):
        metadata = {"format": "uuid", **kwargs.pop("metadata", {})}
        super().__init__(UUID_PATTERN, "a UUID in lower case", 36, 36, metadata=metadata, **kwargs)


class Name(Matching):
    """An id of the catalogue. Which ones exist is not the schema's matter: a newer phone may know more."""

    def __init__(self, **kwargs):
        super().__init__(NAME_PATTERN, "an id of the catalogue, such as guide_pulley_gap", 64, **kwargs)


class Sha256(Matching):
    """The SHA-256 of a photo's bytes, in lower-case hexadecimal."""

    def __init__(self, **kwargs):
        super().__init__(SHA256_PATTERN, "64 lower-case hexadecimal digits", 64, 64, **kwargs)


class Moment(Matching):
    """RFC 3339 with an offset. Kept as the text that came, so that a phone's own offset stays readable."""

    def __init__(self, **kwargs):
        metadata = {"format": "date-time", **kwargs.pop("metadata", {})}
        words = "a time with its offset (RFC 3339), such as 2026-03-05T17:42:00+01:00"
        super().__init__(MOMENT_PATTERN, words, 35, 20, metadata=metadata, **kwargs)

    def _deserialize(self, value, attr, data, **kwargs):
        value = super()._deserialize(value, attr, data, **kwargs)
        try:
            datetime.fromisoformat(value)
        except ValueError:
            raise ValidationError(f"There is no such day: {shown(value)}.") from None
        return value


class Day(Matching):
    """A calendar day, RFC 3339's full-date."""

    def __init__(self, **kwargs):
        metadata = {"format": "date", **kwargs.pop("metadata", {})}
        super().__init__(DAY_PATTERN, "a day, such as 2026-03-05", 10, 10, metadata=metadata, **kwargs)

    def _deserialize(self, value, attr, data, **kwargs):
        value = super()._deserialize(value, attr, data, **kwargs)
        try:
            date.fromisoformat(value)
        except ValueError:
            raise ValidationError(f"There is no such day: {shown(value)}.") from None
        return value


class OneOf(_Field):
    """One of a few fixed words."""

    def __init__(self, *words: str, **kwargs):
        metadata = {"type": "string", "enum": list(words), **kwargs.pop("metadata", {})}
        if kwargs.get("allow_none"):
            metadata["enum"] = [*words, None]
        super().__init__(metadata=metadata, **kwargs)
        self._words = words

    def _deserialize(self, value, attr, data, **kwargs):
        if not isinstance(value, str) or value not in self._words:
            raise ValidationError(f"Must be one of {', '.join(self._words)}, not {shown(value)}.")
        return value


class Many(fields.List):
    """A list of bounded length, its items all different where asked."""

    default_error_messages = {**_MESSAGES, "invalid": "Must be a list."}  # noqa: RUF012

    def __init__(self, inner, most: int, least: int = 0, *, different: bool = False, **kwargs):
        limits = {"minItems": least, "maxItems": most} | ({"uniqueItems": True} if different else {})
        super().__init__(inner, metadata={**limits, **kwargs.pop("metadata", {})}, **kwargs)
        self.most, self.least, self.different = most, least, different

    def _deserialize(self, value, attr, data, **kwargs):
        if not isinstance(value, list):
            raise ValidationError("Must be a list.")
        if not self.least <= len(value) <= self.most:
            raise ValidationError(f"Must have {self.least} to {self.most} items.")
        loaded = super()._deserialize(value, attr, data, **kwargs)
        if self.different and len({str(item) for item in loaded}) < len(loaded):
            raise ValidationError("Must not name anything twice.")
        return loaded


class Part(fields.Nested):
    """An object inside another."""

    default_error_messages = {**_MESSAGES, "type": "Must be a JSON object."}  # noqa: RUF012
