"""The shop's own tolerance bands."""

from __future__ import annotations

from .fields import Id, Many, Moment, Name, Number, Part, Strict, Text


class BandPutSchema(Strict):
    """A band for one drivetrain family, or for all; without limits the quantity is not judged."""

    quantity = Name(required=True)
    family = Text(100, load_default=None, allow_none=True)
    lower = Number(load_default=None, allow_none=True)
    upper = Number(load_default=None, allow_none=True)
    target = Number(load_default=None, allow_none=True)
    note = Text(200, load_default=None, allow_none=True, metadata={"description": "where it comes from"})


class BandShownSchema(BandPutSchema):
    in_force_from = Moment(required=True)
    by = Id(required=True)


class BandsPutSchema(Strict):
    bands = Many(Part(BandPutSchema), 100, 1, required=True)


class BandsSchema(Strict):
    """Every band the shop ever set, the oldest first; the newest of a quantity and family is in force."""

    bands = Many(Part(BandShownSchema), 100_000, required=True)
