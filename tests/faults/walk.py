"""A seeded random walk over everything that can go wrong between a phone's browser, the network and the service."""

from __future__ import annotations

import json
import random
import sqlite3
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import timedelta
from pathlib import Path
from signal import SIGKILL
from typing import ClassVar

from playwright.sync_api import Error

from service.config import utc_now
from tests.browser.phone import Phone
from tests.browser.phone_browser import PhoneBrowser
from tests.browser.served import Served
from tests.faults.between import Act, Answer, Between, Exchange, answer_lost, html, lost, problem
from tests.faults.phone_clock import DAY, YEAR, give_clock, set_clock
from tests.faults.restoring import back_up, restore
from tests.faults.walk_judge import Told, wrong_at_the_end, wrong_on_the_way

ENTRIES, ALL = "/api/v1/entries", "/api/v1/"
BROKEN = "tests.faults.broken_service"


def twice(exchange: Exchange) -> Answer:
    exchange.forward()
    return exchange.forward()


def only_one_at_a_time(exchange: Exchange) -> Answer | None:
    """A proxy with a small limit."""
    many = exchange.path == ENTRIES and len(exchange.json["entries"]) > 1
    return problem(413, "Too large", "Too large.")(exchange) if many else exchange.forward()


NETWORK: list[Act] = [
    lost,
    answer_lost,
    twice,
    only_one_at_a_time,
    lambda exchange: exchange.forward().cut(),
    html(200),
    html(502),
    problem(500, "Fault", "A fault."),
    problem(503, "Busy", "Busy.", Retry_After="0"),
    problem(401, "No", "No."),
    problem(426, "Old", "Too old."),
    lambda _: Answer(200, {"Content-Type": "application/json"}, b'{"results": []}'),
]
FAIL = """(name) => {
  const put = IDBObjectStore.prototype.put;
  window.unfail = () => { IDBObjectStore.prototype.put = put; };
  IDBObjectStore.prototype.put = function (...given) {
    if (name === "QuotaExceededError") throw new DOMException("full", name);
    const request = put.apply(this, given);
    request.addEventListener("success", () => request.transaction.abort());
    return request;
  };
}"""
LOSE_DATABASE = """() => {
  const transaction = IDBDatabase.prototype.transaction;
  IDBDatabase.prototype.transaction = function (...given) {
    IDBDatabase.prototype.transaction = transaction;
    this.close();
    return transaction.apply(this, given);
  };
}"""


@dataclass
class Walk:
    """One phone's browser, its network and its service, and what the mechanic was told on the way."""

    browser: PhoneBrowser
    served: Served
    between: Between
    seed: int
    spoil: str | None = None  # a script that takes one protection away, for the control
    network: list[Act] = field(default_factory=lambda: NETWORK)
    told: list[Told] = field(default_factory=list)
    jobs: list[str] = field(default_factory=list)
    frames: dict[str, str] = field(default_factory=dict)  # bike to its frame number as last told saved
    taken: list[str] = field(default_factory=list)
    page: Phone | None = None
    tab: Phone | None = None
    copy: Path | None = None
    clock: timedelta = timedelta()
    clock_set: bool = False  # since the order on the phone's clock alone can no longer be known to the millisecond
    restored: bool = False  # since the phone last heard from the service

    def __post_init__(self) -> None:
        self.random = random.Random(self.seed)

    # The steps; each leaves a page that is open.

    def save(self) -> None:
        job = self.random.choice(self.jobs)
        self._save(self._any(), job)

    def save_in_two_tabs(self) -> None:
        self.open_tab()
        for phone in (self.page, self.tab, self.page):
            self._save(phone, self.jobs[0])

    def failing_save(self) -> None:
        """Full, or a commit that fails: whatever is being written at that moment."""
        phone = self._any()
        phone.page.evaluate(FAIL, self.random.choice(["QuotaExceededError", "abort"]))
        try:
            assert not self._save(phone, self.random.choice(self.jobs)), "a save that failed was told as saved"
        finally:
            phone.page.evaluate("() => window.unfail()")

    def failing_sync(self) -> None:
        """The service has taken it, and the phone cannot write that down."""
        phone = self._any()
        under_way, let_go = threading.Event(), threading.Event()

        def hold(exchange: Exchange) -> Answer:
            answer = exchange.forward()
            under_way.set()
            let_go.wait(5)
            return answer

        self.between.on(ENTRIES, hold, 1)
        self._save(phone, self.random.choice(self.jobs))
        self._wait(under_way)
        phone.page.evaluate(FAIL, "abort")
        let_go.set()
        phone.call("sendNow")
        phone.page.evaluate("() => window.unfail()")
        self.between.clear()

    def lost_database(self) -> None:
        phone = self._any()
        phone.page.evaluate(LOSE_DATABASE)
        self._save(phone, self.random.choice(self.jobs))

    def new_job(self) -> None:
        self.jobs.append(self.page.new_job())

    def edit_bike(self) -> None:
        edit = """async (number) => {
          const bike = window.book.bikes.value[0];
          if (bike) await window.book.putBike({ ...bike, frame_number: number });
          return bike?.id;
        }"""
        number = f"F {len(self.taken)}"
        bike = self._any().page.evaluate(edit, number)
        if bike:
            self.frames[bike] = number

    def faulty_network(self) -> None:
        act = self.random.choice(self.network)
        self.between.on(self.random.choice([ENTRIES, ENTRIES, ALL]), act, self.random.choice([1, 1, 2]))
        self._save(self._any(), self.random.choice(self.jobs))
        self._any().call("sendNow")
        self.between.clear()

    def offline(self) -> None:
        self.browser.context.set_offline(True)
        for _ in range(self.random.randint(1, 3)):
            self._save(self._any(), self.random.choice(self.jobs))
        self.browser.context.set_offline(False)

    def reload(self) -> None:
        self.page.reload()

    def open_tab(self) -> None:
        if self.tab is None:
            self.tab = self._open()

    def kill_a_tab(self) -> None:
        """The first tab is gone; the second one, or a new one, goes on."""
        before, self.page, self.tab = self.page, self.tab or self._open(), None
        before.page.close()

    def kill_while_sending(self) -> None:
        under_way, let_go = threading.Event(), threading.Event()
        reaches = self.random.random() < 0.5

        def hold(exchange: Exchange) -> None:
            if reaches:
                exchange.forward()
            under_way.set()
            let_go.wait(5)

        self.between.on(ENTRIES, hold, 1)
        self._save(self.page, self.random.choice(self.jobs))
        self._wait(under_way)
        self.kill_a_tab()
        let_go.set()
        self.between.clear()

    def kill_browser(self) -> None:
        self.browser.kill()
        self.start()

    def kill_service(self) -> None:
        self.served.stop(SIGKILL)
        self._save(self._any(), self.random.choice(self.jobs))
        self.served.start()

    def service_dies_at_its_commit(self) -> None:
        self.served.start_as(BROKEN, self.random.choice(["kill_before_commit", "kill_after_commit"]))
        strike = Path(f"{self.served.db}.strike")
        strike.touch()
        self._save(self._any(), self.random.choice(self.jobs))
        self._any().call("sendNow")
        strike.unlink(missing_ok=True)
        self.served.start_as("service")

    def back_up(self) -> None:
        self.copy = back_up(self.served)
        with book_of(self.served) as db:
            [(seq,)] = sqlite3.connect(self.copy).execute("SELECT seq FROM shops")
            db.execute("UPDATE shops SET backed_up_to = ?", (seq,))

    def restore(self) -> None:
        if self.copy:
            restore(self.served, self.copy)
            self.restored = True

    def revoke(self) -> None:
        """The owner has taken the phone off; work goes on, and it is paired again."""
        with book_of(self.served) as db:
            db.execute("UPDATE devices SET revoked_at = ?", (utc_now().isoformat(),))
        self._save(self._any(), self.random.choice(self.jobs))
        self._any().call("sendNow")
        self.pair()

    def set_clock(self) -> None:
        """To a day back, a year ahead, or right; once the phone knows how its clock has stood so far."""
        self.page.call("sendNow")
        known = self.page.signal("clockOffset") / 1000
        if abs(known + self.clock.total_seconds()) < 3:
            self.clock, self.clock_set = self.random.choice([-DAY, YEAR, timedelta()]), True
            set_clock(self.page, self.clock)

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

    def pair(self) -> None:
        code = self.served.pairing_code()
        try:
            self.page.pair(code)
        except Error:  # not now: the next time
            return

    def _open(self) -> Phone:
        return Phone(self.browser.context.new_page(), self.between.url).open()

    def _any(self) -> Phone:
        return self.tab if self.tab and self.random.random() < 0.5 else self.page

    def _wait(self, under_way: threading.Event) -> None:
        """Until the request is there; the phone may be waiting for its next try, and send nothing now."""
        until = time.monotonic() + 1
        while not under_way.is_set() and time.monotonic() < until:
            self.page.page.wait_for_timeout(10)

    def _save(self, phone: Phone, job: str) -> bool:
        at = time.time()
        try:
            entry = phone.turn(job, self.random.randint(-9, 9))["entry"]
        except Error as error:
            assert "Not saved" in error.message, error.message
            return False
        self.told.append(Told(entry["id"], job, entry["device_seq"], entry["data"], at))
        return True

    # The walk itself.

    STEPS: ClassVar[tuple[tuple[Callable[[Walk], None], int], ...]] = (
        (save, 30), (save_in_two_tabs, 4), (failing_save, 8), (failing_sync, 4), (lost_database, 4), (new_job, 4),
        (edit_bike, 8), (faulty_network, 24), (offline, 10), (reload, 6), (open_tab, 4), (kill_a_tab, 4),
        (kill_while_sending, 4), (kill_browser, 1), (kill_service, 2), (service_dies_at_its_commit, 1), (back_up, 4),
        (restore, 2), (revoke, 4), (set_clock, 4),
    )  # fmt: skip

    def walk(self, steps: int) -> Iterator[str]:
        """What is found wrong, as it is found; nothing, if all is well."""
        self.start()
        self.page.offline_ready()
        self.pair()
        self.new_job()
        moves, weights = zip(*self.STEPS, strict=True)
        # Each kind at least once, the rest as chance has it.
        rest = self.random.choices(moves, weights, k=max(0, steps - len(moves)))
        for step in self.random.sample([*moves, *rest], k=max(steps, len(moves)))[:steps]:
            self.taken.append(step.__name__)
            step(self)
            yield from wrong_on_the_way(self)
        yield from self.settled()

    def settled(self) -> Iterator[str]:
        """Everything works again: what is still wrong?"""
        self.between.clear()
        self.page.reload()
        self.pair()
        for _ in range(4):
            self.page.call("sendNow")
            self.restored = False
        try:
            self.page.wait_sent()
        except AssertionError:
            yield f"not sent: {self.page.signal('pending')} {self.page.signal('lastProblem')}"
        yield from wrong_at_the_end(self)


@contextmanager
def book_of(served: Served) -> Iterator[sqlite3.Connection]:
    db = sqlite3.connect(served.db, isolation_level=None, timeout=10)
    try:
        yield db
    finally:
        db.close()


def told_words(found: list[str], walk: Walk) -> str:
    steps = " ".join(walk.taken)
    return f"seed {walk.seed}, after {len(walk.taken)} steps:\n{json.dumps(found, indent=1)}\n{steps}"
