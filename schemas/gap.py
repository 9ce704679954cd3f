"""Gaps in a device's own count of its entries."""

from __future__ import annotations

from .fields import Id, Strict, Whole


class GapSchema(Strict):
    """Numbers of a device's outbox that never arrived: a rejected entry, or one still on the phone."""

    device_id = Id(required=True)
    first = Whole(required=True)
    last = Whole(required=True)
