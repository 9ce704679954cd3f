"""Handing over, and the set-up record that it makes."""

from __future__ import annotations

from marshmallow import fields

from .fields import Flag, Id, Many, Moment, Name, Part, Strict, Text, Whole


class AcceptedSchema(Strict):
    """Something missing or stale that a person hands over all the same."""

    what = Name(required=True, metadata={"description": "id of the quantity, fastener or check"})
    reason = Text(300, 0, allow_none=True)


class Accepted(fields.Field):
    """An id by itself, or with a reason; loaded as {"what", "reason"?} either way."""

    forms = (Name, AcceptedSchema)

    def __init__(self, **kwargs) -> None:
        super().__init__(**kwargs)
        self._name, self._named = Name(), AcceptedSchema()

    def _deserialize(self, value, attr, data, **kwargs):
        if isinstance(value, dict):
            return self._named.load(value)
        return {"what": self._name.deserialize(value)}


class HandoverSchema(Strict):
    id = Id(required=True, metadata={"description": "the record's id; the same id gives the same record"})
    seen_seq = Whole(required=True, metadata={"description": "newest seq that the person has seen"})
    by = Id(required=True, metadata={"description": "the person who hands over"})
    accepted = Many(Accepted(), 300, required=True)
    handed_over_at = Moment(metadata={"description": "when the bike left, where that was before now"})


class LinkSchema(Strict):
    id = Id(required=True)
    expires_at = Moment(required=True)


class CountsSchema(Strict):
    """Values that went out, differences and torques counted, and how many of them have which verdict."""

    values = Whole(required=True)
    inside = Whole(required=True)
    borderline = Whole(required=True)
    outside = Whole(required=True)
    none = Whole(required=True, metadata={"description": "without a band, or not to be judged"})


class RecordSchema(Strict):
    """The frozen document with its signature, and what has happened to it since."""

    id = Id(required=True)
    job_id = Id(required=True)
    bike_id = Id(required=True)
    number = Text(required=True, metadata={"description": "short fingerprint of the document, as printed"})
    seq = Whole(required=True)
    handed_over_at = Moment(required=True)
    amends = Id(required=True, allow_none=True)
    amended_by = Id(required=True, allow_none=True)
    late_entries = Whole(required=True, metadata={"description": "entries of the job that came after the handover"})
    amendment_offered = Flag(required=True)
    counts = Part(CountsSchema, required=True)
    document = fields.Dict(required=True)
    signature = Text(required=True, metadata={"description": "Ed25519 over the RFC 8785 form, base64url"})
    key_id = Text(required=True)
    public_key = Text(required=True, allow_none=True)
    genuine = Flag(required=True)
    links = Many(Part(LinkSchema), 1000, required=True)


class RecordsSchema(Strict):
    records = Many(Part(RecordSchema), 1000, required=True)


class NewLinkSchema(Strict):
    id = Id(required=True)
    url = Text(required=True, metadata={"description": "shown this once; the service keeps only its hash"})
    expires_at = Moment(required=True)
    qr_svg = Text(100_000, required=True, metadata={"description": "the url as a QR code, an SVG document"})
