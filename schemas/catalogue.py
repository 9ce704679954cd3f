"""The catalogue: what is measured, turned, tightened, checked and heard, and in which units."""

from __future__ import annotations

from typing import Any

from marshmallow import INCLUDE, fields

from .fields import Strict, Text

NOUNS = (
    "units", "quantities", "pairs", "adjusters", "fasteners", "checks", "parts", "steps", "symptoms", "outcomes",
    "sounds", "whens", "events", "causes", "cautions", "limits",
)  # fmt: skip


def _list() -> fields.List:
    one: dict[str, Any] = {"description": "as in catalogue.toml", "required": ["id"]}
    return fields.List(fields.Dict(metadata=one), required=True)


class CatalogueSchema(Strict):
    """One list a noun, each thing under its id; the shop's own bands stand first among a quantity's bands."""

    class Meta:
        unknown = INCLUDE

    version = Text(required=True, metadata={"description": "changes with anything in it"})


for _noun in NOUNS:
    CatalogueSchema._declared_fields[_noun] = _list()
