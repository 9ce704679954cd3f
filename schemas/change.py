"""The feed of changes: bikes and jobs once, at their newest seq; every entry."""

from __future__ import annotations

from marshmallow import fields

from .fields import Id, Many, Moment, OneOf, Part, QueryWhole, Strict, Whole


class ChangesQuerySchema(Strict):
    after = QueryWhole(load_default=0, metadata={"description": "the cursor: `next` of the answer before; 0 at first"})
    limit = QueryWhole(1, 1000, load_default=500)


class ChangeSchema(Strict):
    seq = Whole(required=True)
    noun = OneOf("bike", "job", "entry", required=True)
    body = fields.Dict(required=True)


class ChangesSchema(Strict):
    epoch = Id(required=True, metadata={"description": "when it changes, start again at 0"})
    changes = Many(Part(ChangeSchema), 1000, required=True)
    next = Whole(required=True)
    more = fields.Boolean(required=True)
    server_time = Moment(required=True, metadata={"description": "by it a phone sees how far its own clock is off"})
