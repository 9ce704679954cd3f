"""The main job by hand: stand, road without a signal, browser closed, signal again, trend, record, customer."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Playwright

from tests.browser.engines import Engine, engine_of
from tests.browser.expecting import expect
from tests.browser.mechanic import Mechanic
from tests.browser.phone import Phone
from tests.browser.served import Served

GAPS = {12: "9.1", 3: "8.9", 6: "8.9", 9: "9"}
INNER, OUTER = {"ring": 33, "cog": 36}, {"ring": 46, "cog": 10}
ROAD = {"ring": 33, "cog": 28}
GOING_OUT = "8 values"  # ten readings, two of them stale


@pytest.fixture(params=["chromium", "firefox", "webkit"])
def engine(
    request: pytest.FixtureRequest, playwright: Playwright, served: Served, tmp_path: Path
) -> Iterator[Engine]:
    with engine_of(request.param, playwright, tmp_path / "profile", served) as opened:
        yield opened


def stored(served: Served) -> list[dict]:
    return [json.loads(body) for (body,) in served.rows("SELECT body FROM entries ORDER BY device_seq")]


def in_the_stand(mechanic: Mechanic) -> None:
    """Ten readings; the cage stands outside its band."""
    mechanic.to_step("Hanger straight")
    mechanic.read_hanger(GAPS)
    mechanic.to_step("Guide pulley gap")
    mechanic.read("Guide pulley gap", "5.2")
    mechanic.to_step("Rear fine position")
    mechanic.read("Rear fine position", "3")
    mechanic.to_step("Rear limits")
    mechanic.read("Rear low limit", "0.1")
    mechanic.read("Rear high limit", "0.1")
    mechanic.to_step("Cage height and rotation")
    mechanic.read("Cage height", "1.4")
    mechanic.read("Cage alignment", "0.9")
    expect(mechanic.page.locator(".v.out")).to_contain_text("outside")
    mechanic.to_step("Cage clearances")
    mechanic.read("Outer plate clearance", "0.5")
    mechanic.read("Inner plate clearance", "0.35")
    mechanic.read("Front fine position", "-1")


def on_the_road(mechanic: Mechanic) -> None:
    """Five stops with adjustments, one of them with nothing needed, and a noise."""
    mechanic.tap("Road")
    mechanic.start_ride()
    mechanic.turned("Rear fine position", 1, (33, 28), "hesitates to a larger cog")
    mechanic.turned("Rear fine position", 2)
    mechanic.turned("Rear fine position", -1)
    mechanic.turned("Front fine position", -1, because="rubs")
    mechanic.tap("Nothing needed")
    mechanic.write_down()
    mechanic.tap("tick")
    mechanic.tap("under load")
    mechanic.tap("1 more")
    mechanic.tap("1 more")
    mechanic.write_down()


@pytest.mark.filterwarnings("ignore:setting remote_server_addr:DeprecationWarning")  # Selenium's own call of itself
def test_the_main_path(engine: Engine, served: Served) -> None:
    phone = Phone(engine.open(), served.url).open().offline_ready()
    mechanic = Mechanic(phone.page)
    mechanic.pair_by_link(served.url, served.pairing_code())
    mechanic.add_bike("Grey all-road 54")
    in_the_stand(mechanic)
    phone.wait_sent()
    job = re.search(r"#/jobs/([^/]+)", phone.page.url)[1]

    engine.lose_signal()
    phone.reload()
    on_the_road(mechanic)
    phone.until("() => window.book.pending.value.count === 6")

    engine.close()
    phone = Phone(engine.open(), served.url).open(f"#/jobs/{job}/road")
    mechanic = Mechanic(phone.page)
    expect(phone.page.get_by_text("6 not yet confirmed")).to_be_visible()
    assert len(stored(served)) == 10
    expect(phone.page.get_by_text("rear 2 inboard").first).to_be_visible()
    engine.regain_signal()
    phone.wait_sent()

    entries = stored(served)
    assert len(entries) == len({e["id"] for e in entries}) == 16
    assert [e["device_seq"] for e in entries] == sorted(e["device_seq"] for e in entries)
    assert [e["stage"] for e in entries] == ["bench"] * 10 + ["road"] * 6
    assert [e["kind"] for e in entries] == ["reading"] * 10 + ["adjustment"] * 5 + ["noise"]
    gears = [None, INNER, None, None, None, None, None, OUTER, INNER, None, *[ROAD] * 6]
    assert [e.get("gear") for e in entries] == gears
    assert [e["data"]["amount"] for e in entries[10:15]] == [1, 2, -1, -1, 0]
    assert entries[15]["data"] == {"sound": "tick", "when": ["under_load"], "count_in_ten_turns": 2}

    check_trend(mechanic)
    record_url = hand_over(mechanic)
    check_record(engine.stranger(), record_url)


def check_trend(mechanic: Mechanic) -> None:
    """Readings against their bands, from the service."""
    page = mechanic.page
    mechanic.tap("Trend")
    page.get_by_label("Quantity").select_option(label="Cage alignment")
    expect(page.locator(".v.out")).to_contain_text("outside")
    expect(page.locator(".plot .st.bench")).to_have_count(1)
    expect(page.locator(".plot .band")).to_be_visible()
    expect(page.locator(".stand")).to_contain_text("−0.5")
    expect(page.get_by_text("Slope", exact=True)).to_be_visible()
    page.get_by_label("Quantity").select_option(label="Guide pulley gap, 33 × 36")
    expect(page.locator(".v.in")).to_contain_text("inside")


def hand_over(mechanic: Mechanic) -> str:
    """Ends the ride, accepts what is missing or stale, hands over; the customer's link."""
    page = mechanic.page
    mechanic.tap("Road")
    mechanic.tap("End the ride")
    mechanic.tap("Handover")
    expect(page.get_by_text("Inner plate clearance").first).to_be_visible()
    expect(page.locator("li", has_text="Inner plate clearance").first).to_contain_text("adjusted since measured")
    for point in ("Cage alignment", "Tick, under load", "Rubs"):
        expect(page.get_by_role("button", name=re.compile(f"^accept: {point}"))).to_be_visible()
    accept = page.get_by_role("button", name=re.compile("^accept: "), pressed=False)
    while accept.count():
        accept.first.click()
    hand = page.get_by_role("button", name=re.compile("^Hand over"))
    expect(hand).to_contain_text(f"{GOING_OUT}, frozen and signed")
    hand.click()
    expect(mechanic.heading("Handed over")).to_be_attached()
    expect(page.get_by_text(f"{GOING_OUT}: 5 inside, 1 outside, 2 not judged.")).to_be_visible()
    mechanic.tap("Make the customer's link")
    expect(page.locator("svg.qr")).to_be_visible()
    return page.get_by_role("link", name=re.compile("^http")).get_attribute("href")


def check_record(page: Any, url: str) -> None:
    """The customer's page, in a browser that knows nothing of the shop."""
    page.goto(url)
    expect(page.get_by_role("heading", level=1)).to_have_text("Grey all-road 54")
    trim = page.locator("tr", has_text="Rear derailleur, fine position")
    expect(trim).to_contain_text("+3 in the stand, +2 after it")
    expect(trim.locator("td")).to_contain_text("+5 steps")
    expect(page.get_by_text(f"{GOING_OUT} went out with it: 5 inside")).to_be_visible()
    for words in (
        "Front cage, inner gap (33 × 36): adjusted after it was measured",
        "Front cage, parallel: outside its tolerance band",
        "Tick, under load: still heard",
        "Rubs: still so",
    ):
        expect(page.get_by_role("listitem").filter(has_text=words)).to_be_visible()
    expect(page.get_by_text("The signature fits")).to_be_visible()
