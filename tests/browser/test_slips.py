"""Slips on the keypad: what the service would reject is said on the phone before it is kept."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import expect

from tests.browser.mechanic import Mechanic
from tests.browser.phone import Phone, go

SLIP = "is the point in its place?"
# Where, what is typed, what is said, what is typed then. The limits are the catalogue's and the contract's.
LINES = [
    ("bench/cockpit/stem_steerer", "99999999", f"No fastener of a bike takes more than 300 N·m: {SLIP}", "5"),
    ("bench/cockpit/stem_steerer", "0", "Type what the wrench was set to.", "5"),
    ("bench/front_cage/cage_height_gap", "31", f"Cage height lies between 0 and 30 mm: {SLIP}", "1.4"),
    ("bench/front_cage/cage_alignment", "-21", f"Cage alignment lies between −20 and 20 mm: {SLIP}", "-0.2"),
    ("bench/chain/chain_links", "3.5", f"Chain length lies between 40 and 200 links: {SLIP}", "108"),
    ("bench/chain/chain_links", "107.5", "Chain length is counted: a whole number, not 107.5.", "108"),
]  # fmt: skip


@pytest.fixture
def job(phone: Phone) -> str:
    made = phone.new_job()
    phone.wait_sent()
    return made


@pytest.mark.parametrize(("where", "slip", "words", "right"), LINES)
def test_a_slip_stays_in_hand_and_the_next_figure_replaces_it(
    phone: Phone, job: str, where: str, slip: str, words: str, right: str
) -> None:
    page = phone.page
    go(page, f"#/jobs/{job}/{where}")
    page.locator(".now").wait_for()
    page.keyboard.type(f"{slip}\n")
    expect(page.locator(".now").get_by_role("alert")).to_have_text(words)
    page.keyboard.type(f"{right}\n")
    [row] = phone.wait_entries(job, 1)
    data = row["entry"]["data"]
    assert data.get("value", data.get("applied")) == float(right)
    phone.wait_sent()
    assert phone.signal("pending")["setAside"] == 0


def test_a_gap_of_the_hanger_that_cannot_be(phone: Phone, job: str) -> None:
    page = phone.page
    go(page, f"#/jobs/{job}/bench/hanger/hanger_deviation")
    page.get_by_role("group", name="Gap from rim to tip").wait_for()
    page.keyboard.type("10.2\n9300\n")
    expect(page.get_by_role("alert")).to_have_text("Gap at 3: −200 to 500 mm, not 9300.")
    page.keyboard.type("9.3\n7.5\n8.7\n")
    page.get_by_role("button", name=re.compile(r"^Keep 2\.8 mm")).wait_for()
    # A place taken again: its figures give way to what is typed now.
    Mechanic(page).tap("at 3 9.3")
    page.keyboard.type("9.1\n")
    page.get_by_role("button", name="at 3 9.1").wait_for()


def test_a_makers_figure_that_cannot_be(phone: Phone, job: str) -> None:
    page = phone.page
    go(page, f"#/jobs/{job}/bench/cockpit/stem_steerer")
    page.locator(".now").wait_for()
    page.keyboard.type("5000")
    Mechanic(page).tap("the maker's figure")
    expect(page.locator(".now").get_by_role("alert")).to_contain_text("No fastener of a bike takes more than 300 N·m")
    expect(page.get_by_role("button", name="the maker's figure")).to_have_attribute("aria-pressed", "false")


def test_figures_of_a_calculator_that_cannot_be_are_not_kept_with_the_bike(phone: Phone, job: str) -> None:
    hand, page = Mechanic(phone.page), phone.page
    go(page, f"#/jobs/{job}/work-out/chain/chain")
    page.locator(".now", has_text="Chainstay").wait_for()
    page.keyboard.type("4155\n")
    expect(page.get_by_role("alert")).to_have_text("Chainstay: 200 to 1000 mm, not 4155.")
    page.keyboard.type("415.5\n")
    page.get_by_role("button", name=re.compile("^Keep 1")).wait_for()
    hand.tap(page.get_by_role("button", name=re.compile("^Rated capacity")))
    page.keyboard.type("39.5")
    hand.tap("Close")
    hand.tap(page.get_by_role("button", name=re.compile("^Keep with the bike")))
    expect(page.get_by_role("alert")).to_have_text("Rated capacity: a whole number, 0 to 200 teeth, not 39.5.")
    hand.tap(page.get_by_role("button", name=re.compile("^Rated capacity")))
    page.keyboard.type("39\n")
    hand.tap(page.get_by_role("button", name=re.compile("^Keep with the bike")))
    expect(page.get_by_text("Kept with the bike.")).to_be_visible()
    phone.wait_sent()
    drivetrain = phone.signal("bikes")[0]["drivetrain"]
    assert (drivetrain["chainstay_mm"], drivetrain["rear_capacity"]) == (415.5, 39)


def test_a_torque_worked_out_that_cannot_be(phone: Phone, job: str) -> None:
    hand, page = Mechanic(phone.page), phone.page
    go(page, f"#/jobs/{job}/work-out/torque/cockpit/stem_steerer")
    hand.tap(page.get_by_role("button", name=re.compile("^Target")))
    page.keyboard.type("99999999\n")
    expect(page.get_by_role("alert")).to_have_text("Target: above 0, up to 300 N·m, not 99999999.")
    page.keyboard.type("5\n")
    hand.tap(page.get_by_role("button", name=re.compile("^Wrench showed")))
    page.keyboard.type("900\n")
    hand.tap(page.get_by_role("button", name=re.compile("^Keep 900")))
    expect(page.get_by_role("alert")).to_contain_text("No fastener of a bike takes more than 300 N·m")
    assert phone.entries(job) == []
