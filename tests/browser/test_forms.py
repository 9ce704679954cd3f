"""What cannot be is said beside its field, with what would be right; until then nothing is kept."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from playwright.sync_api import Locator, expect

from service.ids import new_id
from tests.browser.mechanic import Mechanic
from tests.browser.phone import DRIVETRAIN, Phone, go
from tests.browser.served import Served
from tests.browser.workshop_book import WorkshopBook


def expect_wrong(field: Locator, words: str) -> None:
    """The field says so itself, is seen above the foot, and is told to those who cannot see it."""
    expect(field).to_have_attribute("aria-invalid", "true")
    page = field.page
    said = page.locator(f"#{field.get_attribute('aria-describedby')}")
    expect(said).to_have_text(words)
    expect(said).to_be_visible()
    free = page.locator(".foot").first.bounding_box()
    box = field.bounding_box()
    assert free and box and (box["y"] + box["height"] <= free["y"] or free["y"] < 1), "the foot lies over it"


def test_a_bikes_facts_are_kept_as_typed_or_not_at_all(phone: Phone) -> None:
    hand, page = Mechanic(phone.page), phone.page
    go(page, "#/bikes/new")
    page.get_by_label("What the shop calls it").fill("Grey gravel 54")
    rings, cogs = (page.get_by_label("or the teeth").nth(n) for n in (0, 1))
    rings.fill("46/abc")
    cogs.fill("10 12 150")
    hand.tap("Keep, then the job")
    expect_wrong(rings, "Rings: “abc” is no number of teeth. Write each one, such as 46 33.")
    expect(page.get_by_role("alert")).to_contain_text("Rings: “abc” is no number")
    rings.fill("46/33")
    hand.tap("Keep, then the job")
    expect_wrong(cogs, "Cogs: 1 to 120 teeth each, not 150.")
    cogs.fill("10 12 15")
    page.get_by_text("More facts").click()
    chainstay = page.get_by_label("Chainstay length")
    chainstay.fill("abc")
    page.get_by_text("More facts").click()
    hand.tap("Keep, then the job")
    expect_wrong(chainstay, "Chainstay length: “abc” is no number. Right is 200 to 1000 mm.")
    for typed in ("-5", "5", "99999"):
        chainstay.fill(typed)
        hand.tap("Keep, then the job")
        expect_wrong(chainstay, f"Chainstay length: 200 to 1000 mm, not {typed}.")
    assert phone.signal("bikes") == []
    chainstay.fill("415,5")
    page.get_by_label("Frame number").press_sequentially("F 20417")
    page.get_by_label("Serial numbers").press_sequentially("RD 88, FD 12")
    hand.tap("Keep, then the job")
    expect(hand.heading("New job")).to_be_attached()
    [bike] = phone.signal("bikes")
    assert (bike["frame_number"], bike["serials"]) == ("F 20417", ["RD 88", "FD 12"])
    assert (bike["drivetrain"]["rings"], bike["drivetrain"]["chainstay_mm"]) == ([46, 33], 415.5)
    phone.wait_sent()


def test_what_the_service_refused_is_put_right_at_its_field(phone: Phone, served: Served) -> None:
    """As an older app could write it, which did not know the limit."""
    hand, page, bike = Mechanic(phone.page), phone.page, new_id()
    body = {"id": bike, "label": "Blue city 52", "brakes": "disc", "tyres": "tube"}
    phone.call("putBike", {**body, "drivetrain": {**DRIVETRAIN, "chainstay_mm": 5}})
    phone.until("() => window.book.held.value.length === 1")
    go(page, "#/settings")
    expect(page.get_by_text("Chainstay length: Must lie between 200 and 1000.")).to_be_visible()
    hand.tap("Put it right")
    chainstay = page.get_by_label("Chainstay length")
    expect(chainstay).to_be_focused()
    expect_wrong(chainstay, "Chainstay length: Must lie between 200 and 1000.")
    chainstay.fill("415")
    hand.tap("Keep")
    phone.wait_sent()
    assert phone.signal("held") == []
    assert served.rows("SELECT json_extract(body, '$.label') FROM bikes") == [("Blue city 52",)]


def test_what_another_phone_changed_while_the_form_was_open_stays(
    phone: Phone, new_phone: Callable[[], Phone], served: Served
) -> None:
    job = phone.new_job()
    phone.wait_sent()
    bike = phone.signal("bikes")[0]
    go(phone.page, f"#/bikes/{bike['id']}/edit")
    phone.page.get_by_label("What the shop calls it").fill("Renamed here")
    second = new_phone().open().offline_ready().pair(served.pairing_code())
    second.wait_entries(job, 0)
    second.call("putBike", {**bike, "brakes": "rim", "frame_number": "F-9"})
    second.wait_sent()
    phone.call("sendNow")
    phone.until("() => window.book.bikes.value[0].brakes === 'rim'")
    Mechanic(phone.page).tap("Keep")
    phone.until("() => window.book.bikes.value[0].label === 'Renamed here'")
    phone.wait_sent()
    kept = phone.signal("bikes")[0]
    assert (kept["label"], kept["brakes"], kept["frame_number"]) == ("Renamed here", "rim", "F-9")
    assert phone.signal("held") == []


def test_a_drivetrain_like_another_bikes_brings_no_lengths_of_that_bike(phone: Phone) -> None:
    hand, page, bike = Mechanic(phone.page), phone.page, new_id()
    other = {"id": bike, "label": "First", "drivetrain": {**DRIVETRAIN, "chainstay_mm": 440}, "brakes": "disc"}
    phone.call("putBike", {**other, "tyres": "tube"})
    go(page, "#/bikes/new")
    page.get_by_label("What the shop calls it").fill("Second")
    hand.tap("46/33 × 10–36, 12-speed, electronic")
    hand.tap("Keep, then the job")
    expect(hand.heading("New job")).to_be_attached()
    second = next(one for one in phone.signal("bikes") if one["label"] == "Second")
    assert second["drivetrain"] == DRIVETRAIN


def test_facts_of_a_bike_that_is_not_here_are_no_new_bike(phone: Phone) -> None:
    go(phone.page, f"#/bikes/{new_id()}/edit")
    expect(Mechanic(phone.page).heading("This bike is not on this phone")).to_be_attached()


LONG = "x" * 5000
ROOMS = [
    ("gauges/new", "Name as it", "", "Add the gauge", "Name: give it one that stands on the tool."),
    ("gauges/new", "Name as it", LONG, "Add the gauge", "Name: 80 characters at most, not 5000."),
    ("gauges/new", "To mm", "far", "Add the gauge", "To: “far” is no number."),
    ("gauges/new", "To mm", "99999999999", "Add the gauge", "To: 99999999999 is far too much."),
    ("gauges/new", "Smallest step", "-1", "Add the gauge", "Smallest step: above 0 mm, not -1."),
    ("gauges/new", "Coverage factor", "11", "Add the gauge", "Coverage factor: 1 to 10, not 11."),
    ("gauges/new", "Expanded uncertainty", "-0,1", "Add the gauge", "Expanded uncertainty: 0 or more mm, not -0,1."),
    ("bands/guide_pulley_gap", "Lower limit", "low", "Put in force from now", "Lower limit: “low” is no number."),
    ("bands/guide_pulley_gap", "Upper limit", "-3", "Put in force from now",
     "Upper limit: it lies below the lower one."),
    ("bands/guide_pulley_gap", "Upper limit", "1" * 11, "Put in force from now",
     "Upper limit: 11111111111 is far too much."),
    ("bands/guide_pulley_gap", "Where it comes from", LONG, "Put in force from now",
     "Where it comes from: 200 characters at most, not 5000."),
    ("causes/chain_worn", "Name", "", "Keep for now", "Name: what does the shop call it?"),
    ("causes/chain_worn", "Share", "", "Keep for now", "Share: a number from 0 to 100 %."),
    ("causes/chain_worn", "Share", "often", "Keep for now", "Share: “often” is no number. Right is 0 to 100 %."),
    ("causes/chain_worn", "Share", "-1", "Keep for now", "Share: 0 to 100 %, not -1."),
    ("causes/chain_worn", "Share", "101", "Keep for now", "Share: 0 to 100 %, not 101."),
    ("steps/hanger", "Name", "", "Keep for now", "Name: what does the shop call this step?"),
    ("steps/hanger", "Words", LONG, "Keep for now", "Words: 500 characters at most, not 5000."),
    ("customers/new", "Name", "", "Add the customer", "Name: whom does the shop call?"),
    ("customers/new", "How to reach them", LONG, "Add the customer",
     "How to reach them: 300 characters at most, not 5000."),
    ("people", "A new mechanic", "", "Add", "Name: how is the new mechanic called?"),
    ("people", "A new mechanic", LONG, "Add", "Name: 80 characters at most, not 5000."),
]  # fmt: skip


def test_each_form_of_the_shop_says_what_is_wrong_and_writes_nothing(owner: Mechanic, book: WorkshopBook) -> None:
    page = owner.page
    written: list[str] = []
    page.on("request", lambda request: written.append(request.url) if request.method in ("PUT", "POST") else None)
    for room, label, typed, button, words in ROOMS:
        go(page, "#/")
        go(page, f"#/workshop/{room}")
        field = page.get_by_label(label).first
        field.wait_for()
        if label != "Name as it" and room == "gauges/new":
            page.get_by_label("Name as it").fill("Feelers")
        if label != "Name" and room == "customers/new":
            page.get_by_label("Name", exact=True).fill("L. Quillhavre")
        field.fill(typed)
        owner.tap(button)
        expect_wrong(field, words)
    assert [url for url in written if "/entries" not in url] == []


@pytest.mark.parametrize(("button", "most"), [("Remark", 4000), ("Advised, not wanted", 500)])
def test_words_that_are_too_long_stay_and_are_said(phone: Phone, button: str, most: int) -> None:
    page, job = phone.page, phone.new_job()
    go(page, f"#/jobs/{job}/plan")
    words = page.get_by_label("A remark, or work")
    words.fill("y" * (most + 1))
    Mechanic(page).tap(button)
    expect(page.get_by_text(f"{most} characters at most, not {most + 1}.")).to_be_visible()
    expect(words).to_have_value("y" * (most + 1))
    words.fill("y" * most)
    Mechanic(page).tap(button)
    phone.wait_entries(job, 1)
    phone.wait_sent()
    assert phone.signal("pending")["setAside"] == 0
