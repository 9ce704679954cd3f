"""How far a phone's clock is off: the service's time less the time the phone put on its batch."""

from __future__ import annotations

STEADY_MS = 5000


def settled(estimate_ms: int, before_ms: int | None) -> int:
    """The offset to add to a batch's times, in milliseconds.

    An estimate holds the time the batch was on its way too, which differs from batch to batch and would shuffle
    entries of one phone. So the offset stays what it was (0 at first) until it moves by more than five seconds.
    """
    before = before_ms or 0
    return before if abs(estimate_ms - before) <= STEADY_MS else estimate_ms
