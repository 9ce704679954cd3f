"""Pairing a device with a shop."""

from __future__ import annotations

from .fields import Id, Moment, OneOf, Strict, Text

ROLES = ("owner", "mechanic")


class PairSchema(Strict):
    code = Text(20, required=True, metadata={"description": "the one-time code, with or without its dash"})
    device_id = Id(required=True, metadata={"description": "made with the outbox; survives a new pairing"})
    device_name = Text(80, required=True)


class PairedSchema(Strict):
    token = Text(required=True, metadata={"description": "Bearer token; shown this once"})
    role = OneOf(*ROLES, required=True)
    person_id = Id(required=True)


class MeSchema(Strict):
    shop_id = Id(required=True)
    shop = Text(required=True)
    device_id = Id(required=True)
    person_id = Id(required=True)
    person = Text(required=True)
    role = OneOf(*ROLES, required=True)
    epoch = Id(required=True)


class CodeSchema(Strict):
    code = Text(required=True)
    expires_at = Moment(required=True)
