"""The steps of the walk. Each leaves a page that is open, and says whether what it is named after came to pass: a phone
that waits for its next try sends nothing that a fault could meet."""

from __future__ import annotations

import sqlite3
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import timedelta
from pathlib import Path
from signal import SIGKILL
from typing import TYPE_CHECKING

from service.config import utc_now
from tests.browser.served import Served
from tests.faults import phone_clock, restoring
from tests.faults.between import ENTRIES, Answer, Exchange
from tests.faults.broken_service import BROKEN
from tests.faults.network_faults import MUDDLES, first_changed
from tests.faults.phone_clock import DAY, YEAR

if TYPE_CHECKING:
    from tests.faults.walk import Walk

# Beyond what the service takes, and beside what is ever turned.
TOO_MUCH, OTHER = 20_000, 99
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


def save(walk: Walk) -> bool:
    return walk.write(walk.any_tab(), walk.any_job())


def save_in_two_tabs(walk: Walk) -> bool:
    walk.tab = walk.tab or walk.open_another()
    saved = [walk.write(phone, walk.jobs[0]) for phone in (walk.page, walk.tab, walk.page)]
    return all(saved)


def send_now(walk: Walk) -> bool:
    walk.any_tab().call("sendNow")
    return True


def failing_save(walk: Walk) -> bool:
    """Full, or a commit that fails: whatever is being written at that moment."""
    phone = walk.any_tab()
    phone.page.evaluate(FAIL, walk.random.choice(["QuotaExceededError", "abort"]))
    try:
        assert not walk.write(phone, walk.any_job()), "a save that failed was told as saved"
    finally:
        phone.page.evaluate("() => window.unfail()")
    return True


def failing_sync(walk: Walk) -> bool:
    """The service has taken it, and the phone cannot write that down."""
    phone = walk.any_tab()
    under_way, let_go = threading.Event(), threading.Event()

    def hold(exchange: Exchange) -> Answer:
        answer = exchange.forward()
        under_way.set()
        let_go.wait(5)
        return answer

    walk.between.on(ENTRIES, hold, 1)
    walk.write(phone, walk.any_job())
    walk.until_sent(under_way)
    phone.page.evaluate(FAIL, "abort")
    let_go.set()
    phone.call("sendNow")
    phone.page.evaluate("() => window.unfail()")
    walk.between.clear()
    return under_way.is_set()


def lost_database(walk: Walk) -> bool:
    phone = walk.any_tab()
    phone.page.evaluate(LOSE_DATABASE)
    return walk.write(phone, walk.any_job())


def new_job(walk: Walk) -> bool:
    walk.jobs.append(walk.page.new_job())
    return True


def edit_bike(walk: Walk) -> bool:
    edit = """async (number) => {
      const bike = window.book.bikes.value[0];
      if (bike) await window.book.putBike({ ...bike, frame_number: number });
      return bike?.id;
    }"""
    number = f"F {len(walk.taken)}"
    bike = walk.any_tab().page.evaluate(edit, number)
    if bike:
        walk.frames[bike] = number
    return bike is not None


def poison_entry(walk: Walk) -> bool:
    """More than the service takes: it alone is set aside, whenever it gets there."""
    saved = walk.write(walk.any_tab(), walk.any_job(), TOO_MUCH)
    if saved:
        walk.may_be_aside.add(walk.told[-1].id)
    return saved


def faulty_network(walk: Walk) -> bool:
    act, path = walk.random.choice(walk.network), walk.random.choice(walk.paths)
    return walk.meets(path, act, walk.random.choice([1, 1, 2]), saves=1)


def muddled_batch(walk: Walk) -> bool:
    """Reordered, with a gap, or sent twice at the same moment."""
    return walk.meets(ENTRIES, walk.random.choice(MUDDLES), 1, saves=3)


def changed_on_the_way(walk: Walk) -> bool:
    """What reaches the service under an id is not what the phone has saved; nobody hears of it."""
    changed: list[str] = []

    def change(exchange: Exchange) -> None:
        answer = first_changed(exchange, OTHER)
        if answer.status == 200 and answer.json["results"][0]["status"] == "stored":
            changed.append(exchange.json["entries"][0]["id"])

    walk.meets(ENTRIES, change, 1, saves=1)
    walk.may_be_aside.update(changed)
    return bool(changed)


def offline(walk: Walk) -> bool:
    walk.write_offline(walk.random.randint(1, 3))
    walk.browser.context.set_offline(False)
    return True


def reload(walk: Walk) -> bool:
    walk.page.reload()
    return True


def open_tab(walk: Walk) -> bool:
    if walk.tab:
        walk.tab.page.close()
    walk.tab = walk.open_another()
    return True


def kill_a_tab(walk: Walk) -> bool:
    """The first tab is gone; the second one, or a new one, goes on."""
    before, walk.page, walk.tab = walk.page, walk.tab or walk.open_another(), None
    before.page.close()
    return True


def kill_while_sending(walk: Walk) -> bool:
    under_way, let_go = threading.Event(), threading.Event()
    reaches = walk.random.random() < 0.5

    def hold(exchange: Exchange) -> None:
        if reaches:
            exchange.forward()
        under_way.set()
        let_go.wait(5)

    walk.between.on(ENTRIES, hold, 1)
    walk.write(walk.page, walk.any_job())
    walk.until_sent(under_way)
    kill_a_tab(walk)
    let_go.set()
    walk.between.clear()
    return under_way.is_set()


def kill_browser(walk: Walk) -> bool:
    walk.browser.kill()
    walk.start()
    return True


def kill_service(walk: Walk) -> bool:
    walk.served.stop(SIGKILL)
    saved = walk.write(walk.any_tab(), walk.any_job())
    walk.served.start()
    return saved


def service_dies_at_its_commit(walk: Walk) -> bool:
    walk.served.start_as(BROKEN, walk.random.choice(["kill_before_commit", "kill_after_commit"]))
    strike = Path(f"{walk.served.db}.strike")
    strike.touch()
    walk.write(walk.any_tab(), walk.any_job())
    walk.any_tab().call("sendNow")
    struck = not strike.exists()
    strike.unlink(missing_ok=True)
    walk.serve()
    return struck


def database_locked(walk: Walk) -> bool:
    """Another process holds the file for longer than the service waits."""
    phone = walk.any_tab()
    with book_of(walk.served) as db:
        db.execute("BEGIN IMMEDIATE")
        walk.write(phone, walk.any_job())
        phone.call("sendNow")
        db.execute("ROLLBACK")
    return phone.signal("signal") == "busy"


def back_up(walk: Walk) -> bool:
    walk.copy, walk.paired_in_copy = restoring.back_up(walk.served), True
    return True


def restore(walk: Walk) -> bool:
    if walk.copy is None:
        return False
    restoring.restore(walk.served, walk.copy)
    walk.restored = True
    if not walk.paired_in_copy:  # the book no longer knows this phone
        walk.pair()
    return True


def revoke(walk: Walk) -> bool:
    """The owner has taken the phone off; work goes on, and it is paired again."""
    phone = walk.any_tab()
    with book_of(walk.served) as db:
        db.execute("UPDATE devices SET revoked_at = ?", (utc_now().isoformat(),))
    walk.write(phone, walk.any_job())
    phone.call("sendNow")
    heard = phone.signal("signal") == "revoked"
    walk.pair()
    return heard


def set_clock(walk: Walk) -> bool:
    """To a day back, a year ahead, or right; once the phone knows how its clock has stood so far."""
    walk.page.call("sendNow")
    known = walk.page.signal("clockOffset") / 1000
    if abs(known + walk.clock.total_seconds()) >= 3:
        return False
    walk.clock, walk.clock_set = walk.random.choice([-DAY, YEAR, timedelta()]), True
    phone_clock.set_clock(walk.page, walk.clock)
    return True


@contextmanager
def book_of(served: Served) -> Iterator[sqlite3.Connection]:
    db = sqlite3.connect(served.db, isolation_level=None, timeout=10)
    try:
        yield db
    finally:
        db.close()


Step = Callable[["Walk"], bool]
# Every kind of step, and how often it comes.
KINDS: tuple[tuple[Step, int], ...] = (
    (save, 30), (send_now, 2), (save_in_two_tabs, 4), (failing_save, 8), (failing_sync, 4), (lost_database, 4),
    (new_job, 4), (edit_bike, 8), (faulty_network, 24), (muddled_batch, 6), (poison_entry, 2),
    (changed_on_the_way, 2), (offline, 10), (reload, 6), (open_tab, 4), (kill_a_tab, 4), (kill_while_sending, 4),
    (kill_browser, 1), (kill_service, 2), (service_dies_at_its_commit, 1), (database_locked, 1), (back_up, 4),
    (restore, 2), (revoke, 4), (set_clock, 4),
)  # fmt: skip
