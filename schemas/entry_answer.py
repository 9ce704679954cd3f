"""What the service says of entries: results of a batch, and entries as they are read back."""

from __future__ import annotations

from marshmallow import INCLUDE, fields

from .entry import STAGES
from .fields import WHOLE_LIMIT, Id, Many, Moment, Number, OneOf, Part, Strict, Text, Whole
from .gap import GapSchema
from .problem import ProblemSchema

STATUSES = ("stored", "duplicate", "conflict", "rejected", "retry")


class ResultSchema(Strict):
    """The answer to one entry of a batch, in the batch's own order."""

    id = Id(required=True, allow_none=True, metadata={"description": "null where the entry had no usable id"})
    status = OneOf(*STATUSES, required=True)
    seq = Whole()
    problem = Part(ProblemSchema, metadata={"description": "pointers start at the entry itself"})


class ResultsSchema(Strict):
    epoch = Id(required=True)
    server_time = Moment(required=True)
    backed_up_to = Whole(required=True, allow_none=True, metadata={"description": "seq that a backup holds"})
    results = Many(Part(ResultSchema), 200, 1, required=True)


class BandSchema(Strict):
    lower = Number(required=True, allow_none=True)
    upper = Number(required=True, allow_none=True)
    target = Number(required=True, allow_none=True)
    tag = Text(required=True)
    source = Text(1000, required=True, allow_none=True)


class DerivedSchema(Strict):
    """What the service computed from an entry, in the catalogue's unit."""

    class Meta:
        unknown = INCLUDE

    value = Number(allow_none=True)
    low = Number(allow_none=True)
    high = Number(allow_none=True)
    unit = Text()
    u = Number(allow_none=True, metadata={"description": "standard uncertainty"})
    u_from = OneOf("gauge", "study", "catalogue")
    verdict = OneOf("inside", "borderline", "outside", "none")
    p_inside = Number(allow_none=True)
    band = Part(BandSchema, allow_none=True)
    gear = fields.Raw()


class StoredEntrySchema(Strict):
    """An entry as it was received, of whichever kind, with what the service adds."""

    class Meta:
        unknown = INCLUDE

    id = Id(required=True)
    job_id = Id(required=True)
    device_id = Id(required=True)
    device_seq = Whole(required=True)
    kind = Text(required=True)
    stage = OneOf(*STAGES, required=True)
    taken_at = Moment(required=True)
    data = fields.Dict(required=True)
    seq = Whole(required=True)
    received_at = Moment(required=True)
    clock_offset_ms = Whole(
        -WHOLE_LIMIT, required=True, metadata={"description": "to be added to taken_at: so far was the phone off"}
    )
    replaced_by = Many(Id(), 1000, metadata={"description": "entries that correct or void this one"})
    derived = Part(DerivedSchema, required=True, allow_none=True)


class EntriesSchema(Strict):
    """The entries of a job, in the order they were taken."""

    entries = Many(Part(StoredEntrySchema), 100_000, required=True)
    gaps = Many(Part(GapSchema), 1000, required=True)
