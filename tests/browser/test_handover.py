"""Handover by hand: what is to accept, what is put right there, what an error says and when it goes; and afterwards."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page, expect

from service.ids import new_id
from tests.browser.mechanic import Mechanic
from tests.browser.phone import Phone, go
from tests.browser.workshop_book import WorkshopBook

HAND_OVER = re.compile("^Hand over")


@pytest.fixture
def page(book: WorkshopBook, phone: Phone) -> Page:
    """At the handover of the build, with a noise, a symptom and a torque far beyond its band and its wrench."""
    small = {"id": new_id(), "name": "Wrench 1", "unit": "N·m", "lowest": 2, "highest": 12}
    book.call("PUT", "/gauges", {"gauges": [small]})
    for fastener, nm in (("stem_faceplate", 50), ("crank_pinch_bolts", 13)):
        torque = {"fastener": fastener, "applied": nm, "unit": "N·m"}
        book.log(book.build, "torque", torque, gauge_id=small["id"])
    book.log(book.build, "noise", {"sound": "creak", "when": ["seated"]}, "road")
    book.turn(book.build, "rear_trim", 1, because="hesitates_to_larger")
    book.send()
    phone.call("sendNow")
    phone.until("(job) => !!window.book.jobs.value.find((one) => one.id === job)", book.build)
    phone.go(f"#/jobs/{book.build}/handover")
    return phone.page


def point(page: Page, name: str):
    return page.get_by_role("listitem").filter(has=page.get_by_role("button", name=re.compile(f"^accept: {name}")))


def test_torques_are_to_be_accepted_and_go_out_with_their_verdict(page: Page) -> None:
    expect(point(page, "Stem faceplate")).to_contain_text("outside its band at 50 N·m")
    beyond = "13 N·m cannot be judged. This wrench is good from 2 to 12"
    expect(point(page, "Crank pinch bolts")).to_contain_text(beyond)
    line = page.locator(".q-li").filter(has_text="Stem faceplate")
    expect(line.locator(".v.out")).to_be_visible()
    expect(page.locator(".q-li").filter(has_text="Crank pinch bolts")).to_contain_text("cannot be judged")
    line.get_by_role("button").click()
    page.locator(".now").get_by_role("button", name="Close").click()
    # Its step is not done by it.
    expect(page.get_by_role("button", name="Done without the rest")).to_be_visible()


def test_what_was_accepted_stays_so_over_other_pages_and_a_reload_until_it_changes(
    page: Page, phone: Phone, book: WorkshopBook
) -> None:
    left = re.compile("^accept: Stem faceplate")
    page.get_by_role("button", name=re.compile("^Accept all")).click()
    expect(page.get_by_role("button", name=re.compile("still to accept"))).to_have_count(0)
    phone.go(f"#/jobs/{book.build}/trend")
    phone.reload()
    phone.go(f"#/jobs/{book.build}/handover")
    expect(page.get_by_role("button", name=left)).to_have_attribute("aria-pressed", "true")
    expect(page.get_by_role("button", name=re.compile("still to accept"))).to_have_count(0)
    torque = {"fastener": "stem_faceplate", "applied": 40, "unit": "N·m"}
    phone.call("log", book.build, {"kind": "torque", "stage": "bench", "data": torque})
    expect(page.get_by_role("button", name=left)).to_have_attribute("aria-pressed", "false")
    expect(page.get_by_role("button", name=HAND_OVER)).to_contain_text("1 still to accept")


def test_a_noise_that_is_gone_and_a_symptom_that_is_better_are_put_right_there(
    page: Page, phone: Phone, book: WorkshopBook
) -> None:
    for point_name, word in (("Creak, seated", "gone"), ("Hesitates to a larger cog", "better")):
        point(page, point_name).get_by_role("button", name=re.compile(f"^{word}:")).click()
        expect(point(page, point_name)).to_have_count(0)
    phone.wait_sent()
    entries = book.call("GET", f"/jobs/{book.build}/entries")["entries"]
    noise, turned = sorted(entries, key=lambda entry: entry["seq"])[-2:]
    assert (noise["data"], noise["stage"]) == ({"sound": "creak", "when": ["seated"], "level": 0}, "bench")
    assert turned["data"]["effect"] == "better" and turned["replaces"]


def test_an_error_goes_when_what_it_names_is_mended(page: Page) -> None:
    hand, alert = page.get_by_role("button", name=HAND_OVER), page.get_by_role("alert")
    hand.click()
    expect(alert).to_contain_text("still to accept or to put right")
    page.get_by_role("button", name=re.compile("^Accept all")).click()
    expect(alert).to_have_count(0)
    accepted = page.get_by_role("button", name=re.compile("^accept: Stem faceplate"))
    accepted.click()
    expect(alert).to_have_text("1 point still to accept or to put right, above.")
    accepted.click()
    expect(alert).to_have_count(0)
    hand.click()
    expect(page.get_by_text("signed and genuine")).to_be_visible()


def test_what_only_the_service_knows_of_can_be_accepted_too(page: Page, phone: Phone, book: WorkshopBook) -> None:
    """A phone that has not heard of a wrench judges by none; the service's answer names what it asks for besides."""
    page.route("**/api/v1/gauges", lambda route: route.abort())
    page.goto(f"{phone.url}/healthz")  # no answer still under way may bring them back
    page.evaluate("() => localStorage.clear()")
    phone.open(f"#/jobs/{book.build}/handover")
    hand, alert = page.get_by_role("button", name=HAND_OVER), page.get_by_role("alert")
    expect(point(page, "Stem faceplate")).to_be_visible()
    expect(point(page, "Crank pinch bolts")).to_have_count(0)
    page.get_by_role("button", name=re.compile("^Accept all")).click()
    hand.click()
    expect(alert).to_contain_text("Not accepted by anybody yet: Crank, pinch bolts.")
    point(page, "Crank, pinch bolts").get_by_role("button").click()
    expect(alert).to_have_count(0)
    hand.click()
    expect(page.get_by_text("signed and genuine")).to_be_visible()


def test_what_is_written_after_a_handover_is_said_to_be_late(page: Page, book: WorkshopBook, phone: Phone) -> None:
    page.get_by_role("button", name=re.compile("^Accept all")).click()
    page.get_by_role("button", name=HAND_OVER).click()
    expect(page.get_by_text("signed and genuine")).to_be_visible()
    phone.wait_sent()
    for where in ("bench", "plan", "bench/front_cage/note"):
        go(page, f"#/jobs/{book.build}/{where}")
        expect(page.get_by_text("This job is handed over.")).to_be_visible()
        expect(page.get_by_text("only an amendment, on Handover, takes it in")).to_be_visible()
    page.get_by_role("link", name="Begin a new job").click()
    expect(Mechanic(page).heading("New job")).to_be_attached()
