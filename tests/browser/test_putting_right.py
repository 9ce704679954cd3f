"""What the service would not take, as an older app could write it: read, put right where it stands, or laid aside."""

from __future__ import annotations

import json

from playwright.sync_api import Locator, expect

from tests.browser.mechanic import Mechanic
from tests.browser.phone import Phone
from tests.browser.served import Served


def held(phone: Phone, what: str) -> Locator:
    return phone.page.locator("li.li", has_text=what).filter(has=phone.page.get_by_role("button"))


def from_the_head(phone: Phone, job: str, count: int) -> None:
    """From the bench to what was set aside."""
    phone.go(f"#/jobs/{job}/bench/front_cage")
    Mechanic(phone.page).tap(f"{count} set aside")
    expect(phone.page.get_by_role("heading", name="Set aside")).to_be_in_viewport()


def test_a_number_is_put_right_where_it_stands_and_keeps_its_moment(phone: Phone, served: Served) -> None:
    job = phone.new_job()
    torque = {"fastener": "stem_steerer", "applied": 99999999, "unit": "N·m"}
    when = "2026-05-04T10:05:00+02:00"
    head = {"kind": "torque", "stage": "bench", "taken_at": when, "note": "with paste"}
    phone.call("log", job, {**head, "data": torque})
    phone.until("() => window.book.pending.value.setAside === 1")
    from_the_head(phone, job, 1)
    row = held(phone, "Stem on the steerer")
    expect(row).to_contain_text("Torque: Must lie between 0 and 100000.")
    expect(row).to_contain_text("Test bike")
    field = row.get_by_label("Torque, as it should have been")
    for typed, words in (
        ("", "Torque: write what it should have been."),
        ("five", "Torque: “five” is no number."),
        ("500", "No fastener of a bike takes more than 300 N·m: is the point in its place?"),
    ):
        field.fill(typed)
        row.get_by_role("button", name="Put it right").click()
        expect(row.get_by_text(words)).to_be_visible()
    field.fill("5,2")
    row.get_by_role("button", name="Put it right").click()
    expect(phone.page.get_by_role("heading", name="Set aside")).to_have_count(0)
    phone.wait_sent()
    [body] = served.rows("SELECT body FROM entries WHERE job_id = ?", job)
    entry = json.loads(body[0])
    assert (entry["data"]["applied"], entry["note"]) == (5.2, "with paste")
    phone.until("([when, at]) => Date.parse(when) === Date.parse(at)", [when, entry["taken_at"]])
    phone.go(f"#/jobs/{job}/bench/front_cage")
    expect(phone.page.get_by_text("all confirmed")).to_be_visible()


def test_each_kind_is_put_right_without_leaving_the_page(phone: Phone, served: Served) -> None:
    job, page = phone.new_job(), phone.page
    gear = {"ring": 46, "cog": 17}
    wrong = [
        ("reading", {"quantity": "cage_height_gap", "value": 900, "unit": "mm"}, "Value", "1.4"),
        ("reading", {"quantity": "hanger_deviation", "tips": [
            {"clock": 12, "gap_mm": 10}, {"clock": 3, "gap_mm": 9000}, {"clock": 6, "gap_mm": 9},
        ]}, "Gap", "9.5"),
        ("adjustment", {"adjuster": "rear_trim", "amount": 101, "unit": "step"}, "Turned", "1"),
        ("shift_check", {"from": gear, "to": {"ring": 46, "cog": 18}, "outcome": "clean"}, "Cog", "19"),
        ("noise", {"sound": "click", "when": [], "cadence_rpm": 900}, "cadence rpm", "90"),
        ("remark", {"text": "y" * 4001}, "Words", "Scratch on the stay"),
        ("declined", {"work": "y" * 501}, "Words", "New pads"),
    ]  # fmt: skip
    for kind, data, _, _ in wrong:
        phone.call("log", job, {"kind": kind, "stage": "bench", "data": data})
    phone.until("(n) => window.book.pending.value.setAside === n", len(wrong))
    from_the_head(phone, job, len(wrong))
    for left, (_, _, label, right) in enumerate(reversed(wrong)):
        row = page.locator("li.li").filter(has=page.get_by_label(f"{label}, as it should have been")).last
        row.get_by_label(f"{label}, as it should have been").fill(right)
        row.get_by_role("button", name="Put it right").click()
        phone.until("(n) => window.book.pending.value.setAside === n", len(wrong) - left - 1)
    phone.wait_sent()
    kinds = [kind for (kind,) in served.rows("SELECT kind FROM entries WHERE job_id = ? ORDER BY seq DESC", job)]
    assert kinds == [kind for kind, *_ in wrong]
    assert phone.signal("pending")["setAside"] == 0


def test_laid_aside_for_good_after_a_question_and_still_readable(phone: Phone, served: Served) -> None:
    """A quantity that this bike has not: there is nothing to type anew."""
    job, hand, page = phone.new_job(), Mechanic(phone.page), phone.page
    data = {"quantity": "cable_tension_turns", "value": 1, "unit": "turn"}
    phone.call("log", job, {"kind": "reading", "stage": "bench", "data": data})
    phone.until("() => window.book.pending.value.setAside === 1")
    phone.go(f"#/jobs/{job}/plan")
    hand.tap("Put it right")
    row = held(phone, "Barrel adjuster")
    expect(row.get_by_role("button", name="Put it right")).to_have_count(0)
    hand.tap("Lay it aside…")
    expect(row.get_by_role("alert")).to_contain_text("Lay it aside for good?")
    hand.tap("No, not yet")
    assert phone.signal("pending")["setAside"] == 1
    hand.tap("Lay it aside…")
    hand.tap("Lay it aside for good")
    phone.until("() => window.book.pending.value.setAside === 0")
    for opened_again in (False, True):
        if opened_again:
            phone.reload()
        page.get_by_text("1 entry put right or laid aside").click()
        expect(page.get_by_text("Laid aside for good.")).to_be_visible()
    with page.expect_download() as waiting:
        hand.tap("Export as a file")
    [row_in_file] = json.loads(waiting.value.path().read_text(encoding="utf-8"))
    assert row_in_file["entry"]["data"] == data and row_in_file["laid_aside"]
    phone.go(f"#/jobs/{job}/bench/front_cage")
    expect(page.get_by_text("all confirmed")).to_be_visible()
    assert served.rows("SELECT count(*) FROM entries WHERE job_id = ?", job) == [(0,)]
