"""Errors as RFC 9457 problems, with the fields at fault."""

from __future__ import annotations

from marshmallow import fields

from .fields import Strict


class FaultSchema(Strict):
    """One field at fault, and what would be right."""

    pointer = fields.String(required=True, metadata={"description": "JSON pointer (RFC 6901) into the body"})
    detail = fields.String(required=True)
    parameter = fields.String(metadata={"description": "query parameter, where the fault is not in the body"})


class ProblemSchema(Strict):
    """What went wrong (RFC 9457), in words for the person at the bike."""

    type = fields.String(required=True)
    title = fields.String(required=True)
    status = fields.Integer(required=True)
    detail = fields.String()
    errors = fields.List(fields.Nested(FaultSchema))
    current = fields.Raw(metadata={"description": "what the service holds now, on a clash of state"})
    newer = fields.Raw(metadata={"description": "entries that came after what the phone had seen"})
    missing = fields.Raw(metadata={"description": "what must be accepted by a person before a handover"})
