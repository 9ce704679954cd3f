"""Wrong pairing codes are limited by address: 40 bits are then out of reach of guessing within ten minutes."""

from __future__ import annotations

import threading
import time
from collections import OrderedDict, deque

from service.errors import Problem

WINDOW = 600.0  # seconds
ADDRESSES = 1000  # kept at most; the longest unseen one is forgotten first


class Guesses:
    """Counts the wrong codes of each address."""

    def __init__(self, tries: int) -> None:
        self._tries = tries
        self._lock = threading.Lock()
        self._wrong: OrderedDict[str | None, deque[float]] = OrderedDict()

    def check(self, address: str | None) -> None:
        """Refuse an address that has sent too many wrong codes lately."""
        with self._lock:
            times = self._wrong.get(address, deque())
            while times and times[0] < time.monotonic() - WINDOW:
                times.popleft()
            if len(times) >= self._tries:
                wait = int(times[0] + WINDOW - time.monotonic()) + 1
                raise Problem(429, f"Too many wrong codes; try again in {wait} s.", headers={"Retry-After": str(wait)})

    def note(self, address: str | None) -> None:
        """Count a wrong code."""
        with self._lock:
            self._wrong.setdefault(address, deque()).append(time.monotonic())
            self._wrong.move_to_end(address)
            while len(self._wrong) > ADDRESSES:
                self._wrong.popitem(last=False)
