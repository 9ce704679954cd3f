"""Paired devices."""

from __future__ import annotations

from .fields import Id, Many, Moment, Part, Strict, Text, Whole
from .gap import GapSchema


class DeviceSchema(Strict):
    id = Id(required=True)
    name = Text(required=True)
    person_id = Id(required=True)
    paired_at = Moment(required=True)
    last_seen_at = Moment(required=True, allow_none=True)
    revoked_at = Moment(required=True, allow_none=True)
    clock_offset_ms = Whole(-(2**53), allow_none=True, metadata={"description": "server's clock minus the phone's"})
    gaps = Many(Part(GapSchema), 1000)


class DevicesSchema(Strict):
    devices = Many(Part(DeviceSchema), 1000, required=True)
