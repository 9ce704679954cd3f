"""Photos, kept under the hash of their bytes."""

from __future__ import annotations

from .fields import Sha256, Strict, Whole


class PhotoSchema(Strict):
    sha256 = Sha256(required=True)
    size = Whole(required=True, metadata={"description": "bytes"})
