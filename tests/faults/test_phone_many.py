"""Ten thousand entries wait on a phone that gets a signal: all arrive once and in order, and the phone stays usable."""

from __future__ import annotations

import time
from collections.abc import Callable

from playwright.sync_api import expect

from tests.browser.mechanic import Mechanic
from tests.browser.phone import Phone
from tests.browser.served import Served
from tests.faults.many_queued import put_many
from tests.faults.truth import amounts, says, says_not

JOBS, EACH = 20, 500
MANY = JOBS * EACH  # 10,000
MOST_MEMORY = 300 * 2**20  # bytes of JavaScript's own; twenty to thirty are usual here
WITHIN = 240.0  # seconds: what it takes is printed, not judged


def heap(phone: Phone) -> int:
    """Bytes of the page's JavaScript heap, once what is not needed has been given back."""
    tool = phone.context.new_cdp_session(phone.page)
    tool.send("HeapProfiler.collectGarbage")
    return tool.send("Runtime.getHeapUsage")["usedSize"]


def test_ten_thousand_entries_wait_and_are_sent(
    phone: Phone, new_phone: Callable[[], Phone], served: Served, capsys
) -> None:
    quiet, *busy = [phone.new_job() for _ in range(1 + JOBS)]
    phone.wait_sent()
    phone.context.set_offline(True)
    told = {job: put_many(phone, job, EACH) for job in busy}

    phone.reload()
    phone.wait_pending(MANY)
    says(phone, f"{MANY} entries not yet confirmed")
    phone.turn(busy[0], 9)
    told[busy[0]].append(9)
    phone.wait_pending(MANY + 1)

    # Sending has begun; a reading is taken meanwhile, by hand, and the bike is looked up.
    started = time.monotonic()
    phone.context.set_offline(False)
    phone.page.evaluate("() => void window.book.sendNow()")
    phone.until("(count) => window.book.pending.value.count < count", MANY)
    most = heap(phone)
    phone.go(f"#/jobs/{quiet}/bench/front_cage")
    mechanic = Mechanic(phone.page)
    mechanic.read("Cage height", "1.4")
    assert phone.signal("pending")["count"] > 0, "it was saved while the others were being sent"
    assert phone.entries(quiet)[0]["state"] == "queued"
    phone.go("#/")
    expect(mechanic.heading("Bikes")).to_be_visible()
    phone.reload()  # in the middle of it
    assert [e["entry"]["data"]["value"] for e in phone.wait_entries(quiet, 1)] == [1.4]

    while phone.signal("pending")["count"]:
        assert time.monotonic() - started < WITHIN
        most = max(most, heap(phone))
        phone.page.wait_for_timeout(500)
    took = time.monotonic() - started
    says_not(phone, "not yet confirmed")
    assert {job: amounts(served, job) for job in busy} == told
    assert served.rows("SELECT count(DISTINCT device_seq), max(device_seq) FROM entries") == [(MANY + 2, MANY + 2)]
    used = heap(phone)
    with capsys.disabled():
        mib = f"{most / 2**20:.0f} MiB at most while sending, {used / 2**20:.0f} afterwards"
        print(f"\n{MANY} queued entries sent in {took:.1f} s; heap {mib}")
    assert most < MOST_MEMORY
    assert used < MOST_MEMORY

    # A second phone brings all of it in by the feed.
    second = new_phone().open().pair(served.pairing_code())
    second.until("(n) => window.book.jobs.value.length === n", 1 + JOBS, within=WITHIN)
    second.call("sendNow")
    seen = {job: second.wait_entries(job, len(given)) for job, given in told.items()}
    assert {job: [row["entry"]["data"]["amount"] for row in rows] for job, rows in seen.items()} == told
