"""Photos on their way in: the bytes must be a picture, and be what their name says."""

from __future__ import annotations

import hashlib
from datetime import datetime
from typing import Any

from service.errors import Problem
from service.store import Store, photo, shop

# How the bytes of each type begin: JPEG's SOI (ITU-T T.81), PNG's signature (ISO/IEC 15948), RIFF with WEBP (RFC 9649).
BEGINNINGS = {
    "image/jpeg": lambda data: data.startswith(b"\xff\xd8\xff"),
    "image/png": lambda data: data.startswith(b"\x89PNG\r\n\x1a\n"),
    "image/webp": lambda data: data[:4] == b"RIFF" and data[8:12] == b"WEBP",
}


def take(store: Store, shop_id: str, sha256: str, content_type: str, data: bytes, now: datetime) -> dict[str, Any]:
    """Keep a photo; one that is there already is not written again. Raises Problem 409, 415 or 422."""
    if content_type not in BEGINNINGS:
        raise Problem(415, f"Send the photo as {', '.join(BEGINNINGS)}.")
    if hashlib.sha256(data).hexdigest() != sha256:
        raise Problem(409, "The bytes do not have the hash in the address: they changed on the way.")
    if not BEGINNINGS[content_type](data):
        raise Problem(422, f"These bytes do not begin like {content_type}.")
    with store.reading() as db:
        known = photo.exists(db, shop_id, sha256)
        seq = shop.get(db, shop_id)["seq"]
    if not known:
        with store.writing() as db:
            photo.add(db, shop_id, sha256, content_type, data, now.isoformat())
            seq = shop.get(db, shop_id)["seq"]
    return {"sha256": sha256, "size": len(data), "seq": seq}
