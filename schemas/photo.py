"""Photos, kept under the hash of their bytes."""

from __future__ import annotations

from .fields import Sha256, Strict, Whole


class PhotoSchema(Strict):
    sha256 = Sha256(required=True)
    size = Whole(required=True, metadata={"description": "bytes"})
    seq = Whole(
        required=True,
        metadata={"description": "newest seq of the book when it was kept: a backup of a later one holds the photo"},
    )
