"""Ids that sort by the time they were made (UUID version 7, RFC 9562 section 5.7)."""

from __future__ import annotations

import secrets
import time
import uuid


def new_id() -> str:
    """A fresh UUIDv7 in its canonical lower-case form."""
    milliseconds = time.time_ns() // 1_000_000
    value = (milliseconds << 80) | (0x7 << 76) | (secrets.randbits(12) << 64) | (0b10 << 62) | secrets.randbits(62)
    return str(uuid.UUID(int=value))
