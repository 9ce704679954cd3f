"""Bikes and jobs are changed on top of what the phone last saw, so that two phones never undo each other unseen."""

from __future__ import annotations

from typing import Any

from service.errors import Problem


def changed(current: dict[str, Any] | None, stored: dict[str, Any] | None, base_seq: int | None, body: dict) -> bool:
    """Whether a body is to be written; False where the book holds that very body already.

    `current` is what a reader would see, `stored` the body as it was written. A base_seq that is not the current one
    raises a Problem 409 with "current", from which the phone merges field by field.
    """
    if stored == body:
        return False
    seq = current["seq"] if current else None
    if base_seq != seq:
        new = "There is nothing of this id yet: base_seq must be null."
        detail = "Someone else changed this since." if current else new
        raise Problem(409, detail, kind="stale-base-seq", current=current)
    return True
