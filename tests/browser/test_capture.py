"""Capture in a real browser: gauges that type, wrench and name remembered, arrival, the ride's end, a bike's code."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import expect

from tests.browser.mechanic import Mechanic
from tests.browser.phone import Phone
from tests.browser.served import Served
from tests.browser.workshop_book import WorkshopBook


@pytest.fixture
def shop(
    new_phone: Callable[[], Phone], served: Served, book: WorkshopBook
) -> tuple[Phone, Mechanic, WorkshopBook]:
    """A paired phone with the invented shop's book: a build in work, a comeback, two people."""
    phone = new_phone().open("#/pair").offline_ready()
    mechanic = Mechanic(phone.page)
    mechanic.pair_by_link(served.url, served.pairing_code())
    phone.wait_sent()
    return phone, mechanic, book


def to_job(phone: Phone, *where: str) -> None:
    phone.go("/".join(("#/jobs", *where)))


def added(phone: Phone, job: str, kind: str, before: int) -> list[dict]:
    """Entries of a kind that came on top of the first ones."""
    return [row["entry"] for row in phone.entries(job)[before:] if row["entry"]["kind"] == kind]


def test_a_gauge_that_types_fills_line_after_line(shop: tuple[Phone, Mechanic, WorkshopBook]) -> None:
    """Figures, a comma for the point, a minus, what is no figure, and Enter, without a pause."""
    phone, _, _book = shop
    job, page = phone.new_job(), phone.page
    to_job(phone, job, "bench", "front_cage", "cage_height_gap")
    page.locator(".now", has_text="Cage height").wait_for()
    page.keyboard.type("x1,4mm\n-0.2 \n")
    phone.wait_entries(job, 2)
    read = {e["data"]["quantity"]: e["data"]["value"] for e in added(phone, job, "reading", 0)}
    assert read == {"cage_height_gap": 1.4, "cage_alignment": -0.2}
    # A value that stands there from before gives way to the first figure, a point or a minus alike.
    for typed, value in ((".5\n", 0.5), ("-,35\n", -0.35), ("+1.05\n", 1.05)):
        before = len(phone.entries(job))
        to_job(phone, job, "bench", "front_cage", "cage_alignment")
        page.locator(".now", has_text="Cage alignment").wait_for()
        page.keyboard.type(typed)
        phone.wait_entries(job, before + 1)
        assert phone.entries(job)[-1]["entry"]["data"]["value"] == value
        page.locator(".now").wait_for(state="detached")


def test_a_refused_value_is_typed_anew_and_what_followed_it_is_not_kept(
    shop: tuple[Phone, Mechanic, WorkshopBook],
) -> None:
    phone, _, _book = shop
    job, page = phone.new_job(), phone.page
    to_job(phone, job, "bench", "front_cage", "cage_height_gap")
    page.locator(".now", has_text="Cage height").wait_for()
    page.keyboard.type("888\n")
    expect(page.get_by_role("alert")).to_contain_text("is the point in its place?")
    page.keyboard.type("1.6\n")
    phone.wait_entries(job, 1)
    assert phone.entries(job)[0]["entry"]["data"]["value"] == 1.6


def test_the_hanger_is_typed_place_after_place(shop: tuple[Phone, Mechanic, WorkshopBook]) -> None:
    phone, _, _book = shop
    job, page = phone.new_job(), phone.page
    to_job(phone, job, "bench", "hanger", "hanger_deviation")
    page.get_by_role("group", name="Gap from rim to tip").wait_for()
    page.keyboard.type("10.2\n9,3\n7.5\n8.7\n")
    expect(page.get_by_role("button", name=re.compile(r"^Keep 2\.8 mm"))).to_be_focused()
    page.keyboard.press("Enter")
    phone.wait_entries(job, 1)
    tips = phone.entries(job)[0]["entry"]["data"]["tips"]
    assert [(tip["clock"], tip["gap_mm"]) for tip in tips] == [(12, 10.2), (3, 9.3), (6, 7.5), (9, 8.7)]


def test_figures_of_a_calculator_are_typed_one_after_the_other(shop: tuple[Phone, Mechanic, WorkshopBook]) -> None:
    phone, _, book = shop
    to_job(phone, book.build, "work-out", "cage", "front_cage")
    phone.page.locator(".now", has_text="Gap at the front").wait_for()
    phone.page.keyboard.type("1.9\n1,2\n60\n")
    expect(phone.page.get_by_role("button", name="Keep +0.7 mm")).to_be_visible()


def test_the_makers_figure_and_the_wrench_stand_ready_next_time(shop: tuple[Phone, Mechanic, WorkshopBook]) -> None:
    """A wrench that goes to 60 N·m is good from 12 (ISO 6789:2003), so it judges nothing at 4."""
    phone, mechanic, book = shop
    gauge = {"name": "Click wrench 2 to 14", "unit": "N·m", "highest": 14, "lowest": 2, "tolerance_percent": 4}
    far = {"name": "Long wrench", "unit": "N·m", "highest": 60}
    ids = ["0192f0aa-0000-7000-8000-000000000001", "0192f0aa-0000-7000-8000-000000000002"]
    book.call("PUT", "/gauges", {"gauges": [{"id": id, **one} for id, one in zip(ids, (gauge, far), strict=True)]})
    job, page = phone.new_job(), phone.page
    to_job(phone, job, "bench", "cockpit", "stem_steerer")
    mechanic.tap("Click wrench 2 to 14")
    page.keyboard.type("4")
    expect(page.locator(".now")).to_contain_text("outside")
    mechanic.tap("the maker's figure")
    expect(page.locator(".now")).to_contain_text("target 4, the maker's")
    expect(page.locator(".now")).to_contain_text("inside")
    mechanic.tap("Keep")
    phone.wait_entries(job, 1)
    [entry] = added(phone, job, "torque", 0)
    assert (entry["data"]["applied"], entry["data"]["target"], entry["gauge_id"]) == (4, 4, ids[0])
    phone.reload()
    to_job(phone, job, "bench", "cockpit", "stem_steerer")
    expect(page.locator(".now")).to_contain_text("target 4, the maker's")
    expect(page.get_by_role("button", name="Click wrench 2 to 14")).to_have_attribute("aria-pressed", "true")
    expect(page.get_by_text("The maker's figure always comes first")).to_be_visible()
    mechanic.tap("Long wrench")
    expect(page.get_by_text("This wrench is good from 12 to 60 N·m only")).to_be_visible()


def test_who_logs_is_one_tap_on_every_page_of_a_job(shop: tuple[Phone, Mechanic, WorkshopBook]) -> None:
    phone, mechanic, book = shop
    job, page = phone.new_job(), phone.page
    for place in ("bench/front_cage", "bench/front_cage/cage_height_gap", "bench/cockpit/stem_steerer", "plan", "road",
                  "bench/rear_position/shifts", "bench/front_cage/note", "handover", "work-out"):  # fmt: skip
        to_job(phone, job, place)
        expect(page.get_by_role("group", name="Who logs")).to_be_visible()
    to_job(phone, job, "bench/front_cage/cage_height_gap")
    mechanic.taps = 0
    mechanic.tap("M. Tarn")
    assert mechanic.taps == 1
    expect(page.get_by_role("button", name="M. Tarn")).to_have_attribute("aria-pressed", "true")
    page.keyboard.type("1.5\n")
    phone.wait_entries(job, 1)
    assert phone.entries(job)[0]["entry"]["by"] == book.mechanic
    phone.reload()
    to_job(phone, job, "bench/front_cage")
    expect(page.get_by_role("button", name="M. Tarn")).to_have_attribute("aria-pressed", "true")


def test_on_arrival_the_last_visit_stands_beside_what_is_found(shop: tuple[Phone, Mechanic, WorkshopBook]) -> None:
    phone, mechanic, book = shop
    page, job = phone.page, book.comeback
    to_job(phone, job, "bench", "arrival")
    expect(page.get_by_role("heading", name="Ten minutes left?")).to_be_visible()
    expect(page.get_by_text("at the last visit").first).to_be_visible()
    before = len(phone.entries(job))
    mechanic.tap("a wash")
    phone.until("(id) => window.book.jobById(id).since_last.includes('wash')", job)
    line = page.locator("button.take", has_text="Chain elongation")
    expect(line).to_contain_text("handed over")
    mechanic.tap(line)
    mechanic.tap(page.get_by_role("button", name=re.compile("^Same as last")))
    phone.wait_entries(job, before + 1)
    last = phone.entries(job)[-1]["entry"]
    assert (last["stage"], last["data"]["quantity"]) == ("found", "chain_elongation")


WAKE = """() => {
  window.locks = { asked: 0, held: 0 };
  Object.defineProperty(navigator, 'wakeLock', { value: { request: async () => {
    window.locks.asked++;
    window.locks.held++;
    return { release: async () => { window.locks.held--; } };
  } } });
  window.ticking = 0;
  const every = window.setInterval;
  window.setInterval = (...given) => { window.ticking++; return every(...given); };
}"""


def test_a_ride_keeps_the_screen_on_and_asks_for_little(new_phone: Callable[[], Phone], served: Served) -> None:
    phone = new_phone()
    phone.page.add_init_script(f"({WAKE})()")
    phone.page.clock.install()
    phone.open().offline_ready().pair(served.pairing_code())
    job, page = phone.new_job(), phone.page
    phone.wait_sent()
    to_job(phone, job, "road")
    Mechanic(page).start_ride()
    assert page.evaluate("() => window.locks.held") == 1
    page.evaluate("() => document.dispatchEvent(new Event('visibilitychange'))")
    phone.until("() => window.locks.asked === 2")
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url) if "/api/" in request.url else None)
    for _ in range(10):
        page.clock.run_for(60_000)
        page.wait_for_timeout(100)
    # A round asks for news before and after it sends.
    assert len([url for url in asked if "/changes" in url]) <= 2 * 11, "at most one round a minute"
    assert page.evaluate("() => window.ticking") == 0
    to_job(phone, job, "bench")
    phone.until("() => window.locks.held <= 1")


def test_the_end_of_a_ride_says_what_it_changed_and_what_is_open(shop: tuple[Phone, Mechanic, WorkshopBook]) -> None:
    """One step of 0.2 mm inboard, two shifts, and no word of what the step did."""
    phone, mechanic, book = shop
    page, job = phone.page, book.build
    to_job(phone, job, "road")
    mechanic.start_ride()
    mechanic.tap(page.get_by_role("group", name="Rear fine position").get_by_role("button").nth(1))
    mechanic.judged_in((33, 28))
    mechanic.tap("Shift checks")
    page.get_by_text("It is in 33 × 28").wait_for()
    mechanic.shift()
    mechanic.shift()
    mechanic.tap("Back to the stop")
    expect(page.get_by_role("button", name=re.compile("^Write down"))).to_contain_text("rear 1 inboard")
    mechanic.write_down()
    for name in ("The ride so far", "The last ride"):
        if name == "The last ride":
            mechanic.tap("End the ride")
        summary = page.get_by_role("region", name=name)
        expect(summary).to_contain_text("rear 1 inboard, 0.2 mm at the pulley")
        expect(summary).to_contain_text("2 shifts tried, all clean.")
        expect(summary).to_contain_text("What the last turning did, rear 1 inboard, was not judged.")
        expect(summary).to_contain_text("On the 46 none of the cogs was judged.")


CAMERA = """(text) => {
  window.BarcodeDetector = class { async detect() { return [{ rawValue: window.seen ?? '' }]; } };
  navigator.mediaDevices.getUserMedia = async () => {
    const canvas = document.createElement('canvas');
    canvas.getContext('2d').fillRect(0, 0, 8, 8);
    const stream = canvas.captureStream(10);
    window.tracks = stream.getTracks();
    return stream;
  };
}"""


def test_a_bikes_code_is_shown_and_scanned(
    new_phone: Callable[[], Phone], served: Served, book: WorkshopBook
) -> None:
    phone = new_phone()
    phone.page.add_init_script(f"({CAMERA})()")
    phone.open("#/pair").offline_ready()
    page, mechanic = phone.page, Mechanic(phone.page)
    mechanic.pair_by_link(served.url, served.pairing_code())
    phone.wait_sent()
    phone.go(f"#/bikes/{book.tourer}")
    mechanic.tap("QR code of this bike")
    expect(page.get_by_role("img", name="QR code of Blue tourer 58")).to_be_visible()
    phone.go("#/")
    mechanic.tap("Scan")
    page.evaluate("(seen) => { window.seen = seen; }", "https://elsewhere.example/menu")
    expect(page.get_by_text("This is not the code of a bike in this book.")).to_be_visible()
    page.evaluate("(seen) => { window.seen = seen; }", f"{served.url}/#/bikes/{book.tourer}")
    expect(mechanic.heading("Blue tourer 58")).to_be_attached()
    assert page.evaluate("() => window.tracks.every((track) => track.readyState === 'ended')")


def test_without_a_reader_of_codes_there_is_no_button(shop: tuple[Phone, Mechanic, WorkshopBook]) -> None:
    phone, _, _book = shop
    phone.go("#/")
    reads = phone.page.evaluate("() => 'BarcodeDetector' in window")
    expect(phone.page.get_by_role("button", name="Scan")).to_have_count(1 if reads else 0)


def test_kilometres_that_are_no_number_are_said_and_stay(shop: tuple[Phone, Mechanic, WorkshopBook]) -> None:
    phone, mechanic, book = shop
    to_job(phone, book.build, "road")
    mechanic.start_ride()
    counter = phone.page.get_by_label("Kilometres on the counter here")
    counter.fill("12km")
    mechanic.tap("Nothing needed")
    mechanic.tap(phone.page.get_by_role("button", name=re.compile("^Write down")))
    expect(phone.page.get_by_role("alert")).to_contain_text("“12km” is no number")
    expect(counter).to_have_value("12km")
    counter.fill("12")
    mechanic.write_down()
    told = [one["entry"].get("odometer_km") for one in phone.entries(book.build) if one["entry"]["stage"] == "road"]
    assert told == [12]
