"""Measuring tools that type like a keyboard: figures and Enter without a pause, line after line, none lost."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import expect

from tests.browser.mechanic import Mechanic
from tests.browser.phone import Phone, go
from tests.browser.workshop_book import WorkshopBook


def read(phone: Phone, job: str) -> list[tuple[str, float]]:
    """What was read and tightened, in order."""
    found = [row["entry"]["data"] for row in phone.entries(job)]
    return [(data.get("quantity", data.get("fastener")), data.get("value", data.get("applied"))) for data in found]


# Steps of a build with more than one line, the first line, and the lines that follow by themselves.
STEPS = {
    "front_limits/cage_outer_clearance": [
        ("cage_outer_clearance", 0.6), ("cage_inner_clearance", 0.7), ("front_trim", -2),
    ],
    "cockpit/stem_faceplate": [("stem_faceplate", 5.5), ("stem_steerer", 4.5)],
    "levers/lever_reach_left": [("lever_reach_left", 71.5), ("lever_reach_right", 72), ("lever_clamp", 6)],
    "contact_points/saddle_height": [("saddle_height", 742), ("seat_clamp", 5)],
    "rear_limits/rear_low_limit_turns": [("rear_low_limit_turns", 0.25), ("rear_high_limit_turns", 0.5)],
    "brakes/rotor_runout": [("rotor_runout", 0.12), ("pad_thickness", 3.4)],
    "tyres/tyre_pressure_front": [("tyre_pressure_front", 230), ("tyre_pressure_rear", 250)],
}  # fmt: skip


@pytest.mark.parametrize("first", STEPS)
@pytest.mark.parametrize("offline", [False, True])
def test_line_after_line(phone: Phone, first: str, offline: bool) -> None:
    job, page = phone.new_job(), phone.page
    phone.wait_sent()
    phone.all_brought()
    phone.context.set_offline(offline)
    go(page, f"#/jobs/{job}/bench/{first}")
    page.locator(".now").wait_for()
    page.keyboard.type("".join(f"{value}\n" for _, value in STEPS[first]))
    phone.wait_entries(job, len(STEPS[first]))
    assert read(phone, job) == STEPS[first]
    expect(page.locator(".pad")).to_have_count(0)


def test_a_second_enter_keeps_nothing_that_was_not_measured(phone: Phone) -> None:
    """Some tools end a value with CR and LF: two Enters. The next torque stands ready with its target."""
    job, page = phone.new_job(), phone.page
    go(page, f"#/jobs/{job}/bench/cockpit/stem_faceplate")
    page.locator(".now", has_text="faceplate").wait_for()
    page.keyboard.type("5.5\n\n")
    page.locator(".now", has_text="steerer").wait_for()
    page.wait_for_timeout(1200)
    assert read(phone, job) == [("stem_faceplate", 5.5)]
    page.keyboard.type("4.5\n\n")
    phone.wait_entries(job, 2)
    assert read(phone, job) == STEPS["cockpit/stem_faceplate"]


def test_twelve_places_of_the_hanger(phone: Phone) -> None:
    """A hanger bent by 1 mm at the rim, straight in at six: gaps that follow it in 0.1 mm."""
    job, page = phone.new_job(), phone.page
    go(page, f"#/jobs/{job}/bench/hanger/hanger_deviation")
    Mechanic(page).tap("twelve places")
    gaps = [11, 10.9, 10.5, 10, 9.5, 9.1, 9, 9.1, 9.5, 10, 10.5, 10.9]
    page.keyboard.type("".join(f"{gap}\n" for gap in gaps))
    expect(page.get_by_role("button", name=re.compile(r"^Keep 2 mm"))).to_be_focused()
    page.keyboard.press("Enter")
    [row] = phone.wait_entries(job, 1)
    tips = row["entry"]["data"]["tips"]
    assert [tip["clock"] for tip in tips] == [12, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11]
    assert [tip["gap_mm"] for tip in tips] == gaps


def test_figures_of_the_rub_window(phone: Phone) -> None:
    job, page = phone.new_job(), phone.page
    go(page, f"#/jobs/{job}/work-out/rub/rear_position")
    page.locator(".now").wait_for()
    page.keyboard.type("4\n6\n5\n5\n6\n4\n")
    keep = page.get_by_role("button", name="Keep 6 counts")
    keep.wait_for()
    keep.click()
    phone.wait_entries(job, 6)
    found = [row["entry"] for row in phone.entries(job)]
    assert sorted((one["gear"]["cog"], one["data"]["quantity"], one["data"]["value"]) for one in found) == [
        (10, "rub_in_steps", 4), (10, "rub_out_steps", 6), (15, "rub_in_steps", 5), (15, "rub_out_steps", 5),
        (36, "rub_in_steps", 6), (36, "rub_out_steps", 4),
    ]  # fmt: skip


def test_readings_of_a_gauge_study(owner: Mechanic, book: WorkshopBook) -> None:
    page = owner.page
    go(page, "#/workshop/gauge-study")
    page.get_by_label("Parts").select_option("2")
    values = [5.0, 5.2, 5.1, 5.3, 7.0, 7.2, 7.1, 7.3]
    page.locator("h1").focus()
    page.keyboard.type("".join(f"{value}\n" for value in values))
    cells = page.locator("button.cell")
    expect(cells).to_have_text([f"{value:g}" if value % 1 else f"{value}" for value in values])
    # A cell taken again: what stands there gives way. A slip stays in hand.
    cells.nth(1).click()
    page.keyboard.type("52\n")
    expect(page.get_by_role("alert")).to_have_count(0)
    cells.nth(1).click()
    page.keyboard.type("520\n")
    expect(page.get_by_role("alert")).to_contain_text("is the point in its place?")
    page.keyboard.type("5.2\n")
    expect(cells.nth(1)).to_have_text("5.2")
