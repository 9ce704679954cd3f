"""What was written down and typed wrong, put right in its row: it keeps its moment, and the old one stays readable."""

from __future__ import annotations

import json

import pytest
from playwright.sync_api import Locator, expect

from tests.browser.mechanic import Mechanic
from tests.browser.phone import Phone
from tests.browser.served import Served

WHEN = "2026-05-04T10:05:00+02:00"
TYPED = [
    ("torque", {"fastener": "stem_steerer", "applied": 52, "unit": "N·m"},
     "Stem on the steerer 52", "Torque", "5,2", {"applied": 5.2}),
    ("adjustment", {"adjuster": "rear_trim", "amount": 2, "unit": "step"},
     "Rear fine position 2 inboard", "Turned", "-1", {"amount": -1}),
    ("noise", {"sound": "click", "when": ["seated"], "count_in_ten_turns": 12},
     "Noise click", "Counted in ten pedal turns", "21", {"count_in_ten_turns": 21}),
    ("remark", {"text": "Scratch on the left stay"},
     "Remark Scratch", "Words", "Scratch on the right stay", {"text": "Scratch on the right stay"}),
    ("declined", {"work": "New pads"},
     "Advised, not wanted New pads", "Words", "New pads, rear", {"work": "New pads, rear"}),
    ("reading", {"quantity": "cage_height_gap", "low": 1, "high": 1.5, "unit": "mm"},
     "Cage height 1 goes", "Does not go", "2", {"low": 1, "high": 2}),
    ("reading", {"quantity": "hanger_deviation", "tips": [
        {"clock": 12, "gap_mm": 10}, {"clock": 3, "gap_mm": 93}, {"clock": 6, "gap_mm": 9}, {"clock": 9, "gap_mm": 9.5},
    ]}, "Hanger deviation 10 at 12", "Gap at 3 o'clock", "9.3", {}),
]  # fmt: skip


def row(phone: Phone, words: str) -> Locator:
    return phone.page.locator("li.entry", has_text=words)


def standing(served: Served, job: str) -> list[dict]:
    entries = [json.loads(body) for (body,) in served.rows("SELECT body FROM entries WHERE job_id = ?", job)]
    replaced = {entry.get("replaces") for entry in entries}
    return [entry for entry in entries if entry["id"] not in replaced]


@pytest.mark.parametrize(("kind", "data", "words", "label", "right", "now"), TYPED, ids=lambda given: None)
def test_each_kind_is_corrected_in_its_row(
    phone: Phone, served: Served, kind: str, data: dict, words: str, label: str, right: str, now: dict
) -> None:
    job, hand = phone.new_job(), Mechanic(phone.page)
    phone.call("log", job, {"kind": kind, "stage": "bench", "taken_at": WHEN, "note": "as it stood", "data": data})
    phone.go(f"#/jobs/{job}/plan")
    wrong = row(phone, words)
    hand.tap(wrong.get_by_role("button", name="Correct"))
    field = wrong.get_by_label(f"{label}, as it should have been")
    expect(field.first).to_be_in_viewport()
    field.fill(right)
    hand.tap(wrong.get_by_role("button", name="Write it down"))
    expect(phone.page.locator("li.entry", has_text="corrected")).to_have_count(1)
    expect(phone.page.locator("li.entry s")).to_contain_text(words.split()[0])
    phone.wait_sent()
    [entry] = standing(served, job)
    assert (entry["note"], entry["data"]) == ("as it stood", {**entry["data"], **now})
    if kind == "reading" and "tips" in data:
        assert [tip["gap_mm"] for tip in entry["data"]["tips"]] == [10, 9.3, 9, 9.5]
    assert phone.page.evaluate("([a, b]) => Date.parse(a) === Date.parse(b)", [entry["taken_at"], WHEN])
    assert phone.signal("pending")["setAside"] == 0


def test_what_cannot_be_is_said_at_its_field_and_nothing_is_written(phone: Phone, served: Served) -> None:
    job, hand = phone.new_job(), Mechanic(phone.page)
    feelers = {"quantity": "cage_height_gap", "low": 1, "high": 1.5, "unit": "mm"}
    phone.call("log", job, {"kind": "reading", "stage": "bench", "data": feelers})
    phone.go(f"#/jobs/{job}/plan")
    wrong = row(phone, "Cage height")
    hand.tap(wrong.get_by_role("button", name="Correct"))
    for label, typed, words in (
        ("Goes", "", "Goes: write what it should have been."),
        ("Goes", "thick", "Goes: “thick” is no number."),
        ("Goes", "100", "is the point in its place?"),
        ("Goes", "1.5", "What does not go is thicker than what goes."),
    ):
        wrong.get_by_label(f"{label}, as it should have been").fill(typed)
        hand.tap(wrong.get_by_role("button", name="Write it down"))
        expect(wrong.get_by_text(words)).to_be_visible()
    hand.tap(wrong.get_by_role("button", name="Leave it"))
    expect(wrong.get_by_text("What does not go")).to_have_count(0)
    phone.wait_sent()
    assert served.rows("SELECT count(*) FROM entries WHERE job_id = ?", job) == [(1,)]
