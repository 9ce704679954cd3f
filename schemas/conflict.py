"""Clashes that a person should look at; both sides are always kept."""

from __future__ import annotations

from marshmallow import fields

from .fields import Id, Many, Moment, OneOf, Part, Strict


class ConflictSchema(Strict):
    """`same_id`: another body came under the id of a stored entry. `two_corrections`: one entry corrected twice."""

    kind = OneOf("same_id", "two_corrections", required=True)
    entry_id = Id(required=True)
    job_id = Id(required=True)
    entry = fields.Raw(required=True, metadata={"description": "the entry in the book"})
    others = fields.List(fields.Raw(), required=True, metadata={"description": "what clashes with it, or replaces it"})
    received_at = Moment(required=True, metadata={"description": "when the newest of them came"})


class ConflictsSchema(Strict):
    conflicts = Many(Part(ConflictSchema), 10000, required=True)
