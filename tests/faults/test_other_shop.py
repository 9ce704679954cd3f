"""The phone of one shop is paired with another: nothing goes there, that is said, and there is a way on."""

from __future__ import annotations

from pathlib import Path

from service.store import migrate
from tests.browser.phone import Phone
from tests.browser.served import Served
from tests.faults.truth import agree, amounts, one_job, says, says_not, settle

OTHERS = "This phone was paired with another shop than the one whose book it holds"


def serve(served: Served, db: Path) -> None:
    """Another book answers at the same address."""
    served.stop()
    served.db = db
    migrate(db)
    served.start()


def test_a_phone_paired_with_another_shop(phone: Phone, served: Served, tmp_path: Path) -> None:
    own, others = served.db, tmp_path / "others.db"
    job = one_job(phone)
    phone.context.set_offline(True)
    phone.turn(job, 2)
    serve(served, others)
    phone.context.set_offline(False)
    says(phone, "no longer paired")
    phone.pair(served.pairing_code())
    says(phone, f"{OTHERS}: nothing is sent there, and nothing read. 1 entry not yet confirmed")
    assert served.rows("SELECT count(*) FROM bikes") == served.rows("SELECT count(*) FROM entries") == [(0,)]
    phone.go("#/settings")
    says(phone, "is another shop's")
    phone.page.get_by_role("button", name="Empty this phone").click()
    says(phone, "This phone holds work that was not sent")

    serve(served, own)
    phone.pair(served.pairing_code())
    agree(phone, served, job, [1, 2])
    says_not(phone, OTHERS)

    serve(served, others)
    phone.pair(served.pairing_code())
    says(phone, f"{OTHERS}: nothing is sent there, and nothing read. What you write down is kept on this phone")
    phone.go("#/settings")
    phone.page.get_by_role("button", name="Empty this phone").click()
    says(phone, "A code from the shop joins this phone to its book.")
    phone.until("() => window.book.bikes.value.length === 0")
    phone.pair(served.pairing_code())
    new = one_job(phone)
    settle(phone)
    assert amounts(served, new) == [1]
    assert served.rows("SELECT count(*) FROM entries") == [(1,)]
