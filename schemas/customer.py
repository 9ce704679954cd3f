"""Customers: the only place with personal data."""

from __future__ import annotations

from marshmallow import fields

from .bike import BikeBodySchema
from .fields import Id, Many, Part, Strict, Text


class CustomerSchema(Strict):
    id = Id(required=True, metadata={"description": "random; bikes refer to it"})
    name = Text(120, required=True)
    contact = Text(300, 0, metadata={"description": "however they want to be reached"})
    note = Text(1000, 0)


class CustomersSchema(Strict):
    """The customers to add or change; those not named stay as they are."""

    customers = Many(Part(CustomerSchema), 200, required=True)


class CustomersShownSchema(Strict):
    customers = Many(Part(CustomerSchema), 100_000, required=True)


class OwnedBikeSchema(BikeBodySchema):
    id = Id(required=True)


class CustomerExportSchema(Strict):
    """All that the book holds of a person."""

    customer = Part(CustomerSchema, required=True)
    bikes = Many(Part(OwnedBikeSchema), 10_000, required=True)
    records = fields.List(fields.Dict(), required=True, metadata={"description": "documents of their bikes"})
