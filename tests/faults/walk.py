"""A seeded random walk over everything that can go wrong between a phone's browser, the network and the service."""

from __future__ import annotations

import json
import random
import threading
import time
from collections import deque
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import timedelta
from pathlib import Path

from playwright.sync_api import Error

from tests.browser.phone import Phone
from tests.browser.phone_browser import PhoneBrowser
from tests.browser.served import Served
from tests.faults.between import API, ENTRIES, Act, Answer, Between, Exchange
from tests.faults.broken_service import BROKEN
from tests.faults.network_faults import MUDDLES, NETWORK
from tests.faults.phone_clock import give_clock, set_clock
from tests.faults.walk_judge import Told, wrong_at_the_end, wrong_on_the_way
from tests.faults.walk_steps import KINDS, Step, new_job

MOST_PER_STEP = 3.0  # seconds, on a machine with other work


@dataclass
class Walk:
    """One phone's browser, its network and its service, and what the mechanic was told on the way."""

    browser: PhoneBrowser
    served: Served
    between: Between
    seed: int
    spoil: str | None = None  # a script that takes one protection away, for the control
    network: list[Act] = field(default_factory=lambda: NETWORK)
    paths: tuple[str, ...] = (ENTRIES, ENTRIES, API)
    first: tuple[Step, ...] = ()  # the steps to begin with
    told: list[Told] = field(default_factory=list)
    jobs: list[str] = field(default_factory=list)
    may_be_aside: set[str] = field(default_factory=set)  # ids of what the service cannot take as it is
    frames: dict[str, str] = field(default_factory=dict)  # bike to its frame number as last told saved
    taken: list[str] = field(default_factory=list)
    page: Phone | None = None
    tab: Phone | None = None
    copy: Path | None = None
    paired_in_copy: bool = False  # by the token that the phone has now
    clock: timedelta = timedelta()
    clock_set: bool = False  # since the order on the phone's clock alone can no longer be known to the millisecond
    restored: bool = False  # and the phone has not heard of it yet

    def __post_init__(self) -> None:
        self.random = random.Random(self.seed)

    def walk(self, steps: int) -> Iterator[str]:
        """What is found wrong, as it is found; nothing, if all is well. A step that came to nothing is tried again."""
        self.serve()
        self.start()
        self.page.offline_ready()
        self.pair()
        new_job(self)
        moves, weights = zip(*KINDS, strict=True)
        # Each kind at least once, the rest as chance has it.
        rest = self.random.choices(moves, weights, k=max(0, steps - len(moves)))
        ahead = deque([*self.first, *self.random.sample([*moves, *rest], k=max(steps, len(moves)))[:steps]])
        last_moment = time.monotonic() + MOST_PER_STEP * (10 + len(ahead))
        while ahead:
            assert time.monotonic() < last_moment, (
                f"came to nothing: {[step.__name__ for step in ahead]}, {self.page.signal('signal')},"
                f" {self.page.signal('lastProblem')}, {self.page.signal('pending')}"
            )
            step = ahead.popleft()
            if step(self):
                self.taken.append(step.__name__)
            else:
                ahead.append(step)
            yield from wrong_on_the_way(self)
        yield from self.settled()

    def settled(self) -> Iterator[str]:
        """Everything works again: what is still wrong?"""
        self.between.clear()
        self.page.reload()
        self.pair()
        for _ in range(4):
            self.page.call("sendNow")
        try:
            self.page.wait_sent()
        except AssertionError:
            yield f"not sent: {self.page.signal('pending')} {self.page.signal('lastProblem')}"
        yield from wrong_at_the_end(self)

    # What the steps are made of.

    def start(self) -> None:
        """The browser starts on the profile it had."""
        context = self.browser.open()
        give_clock(context)
        if self.spoil:
            context.add_init_script(self.spoil)
        first = Phone(context.new_page(), self.between.url)
        first.page.goto(f"{self.between.url}/icon.svg")
        set_clock(first, self.clock)
        self.page, self.tab = first.open(), None

    def serve(self) -> None:
        """The service as it is, but one that does not wait long for a lock."""
        self.served.start_as(BROKEN, "impatient")

    def pair(self) -> None:
        code = self.served.pairing_code()
        try:
            self.page.pair(code)
            self.paired_in_copy = False
        except Error:  # not now: the next time
            return

    def open_another(self) -> Phone:
        return Phone(self.browser.context.new_page(), self.between.url).open()

    def any_tab(self) -> Phone:
        return self.tab if self.tab and self.random.random() < 0.5 else self.page

    def any_job(self) -> str:
        return self.random.choice(self.jobs)

    def meets(self, path: str, act: Act, times: int, saves: int) -> bool:
        """What is saved without a signal meets this once there is one; False where no request came that could."""
        met: list[Exchange] = []

        def meet(exchange: Exchange) -> Answer | None:
            if act in MUDDLES and len(exchange.json["entries"]) == 1:
                return exchange.forward()
            met.append(exchange)
            return act(exchange)

        self.write_offline(saves)
        self.between.on(path, meet, times)
        self.browser.context.set_offline(False)
        self.any_tab().call("sendNow")
        self.between.clear()
        return bool(met)

    def write_offline(self, saves: int) -> None:
        self.browser.context.set_offline(True)
        for _ in range(saves):
            self.write(self.any_tab(), self.any_job())

    def until_sent(self, under_way: threading.Event) -> None:
        """Until the request is there; the phone may be waiting for its next try, and send nothing now."""
        until = time.monotonic() + 1
        while not under_way.is_set() and time.monotonic() < until:
            self.page.page.wait_for_timeout(10)

    def write(self, phone: Phone, job: str, amount: float | None = None) -> bool:
        at = time.time()
        try:
            entry = phone.turn(job, self.random.randint(-9, 9) if amount is None else amount)["entry"]
        except Error as error:
            assert "Not saved" in error.message, error.message
            return False
        self.told.append(Told(entry["id"], job, entry["device_seq"], entry["data"], at))
        return True


def told_words(found: list[str], walk: Walk) -> str:
    steps = " ".join(walk.taken)
    return f"seed {walk.seed}, after {len(walk.taken)} steps:\n{json.dumps(found, indent=1)}\n{steps}"
