"""A comeback is reviewed by hand: guess first, then what fits, then closed; the shop's book holds all of it."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import expect

from tests.browser.mechanic import Mechanic
from tests.browser.phone import Phone, go
from tests.browser.served import Served
from tests.browser.workshop_book import WorkshopBook


@pytest.fixture
def reviewing(book: WorkshopBook, new_phone: Callable[[], Phone], served: Served) -> Phone:
    phone = new_phone().open().offline_ready().pair(served.pairing_code())
    phone.until("(job) => !!window.book.jobs.value.find((one) => one.id === job)", book.comeback)
    phone.go(f"#/jobs/{book.comeback}/review")
    return phone


def test_from_a_guess_to_a_closed_comeback(reviewing: Phone, book: WorkshopBook):
    page, hand = reviewing.page, Mechanic(reviewing.page)
    hanger = page.get_by_role("listitem").filter(has_text="Hanger deviation").first
    expect(hanger).to_contain_text("beyond what measuring explains")
    expect(page.get_by_text("What fits")).to_have_count(0)

    alert = page.get_by_role("alert")
    hand.tap("Keep my guess")
    expect(alert).to_have_text("Choose what you think it is, or go on with “No guess”.")
    expect(page.get_by_label("First guess")).to_be_focused()
    page.get_by_label("First guess").select_option(label="Fine position off")
    expect(alert).to_have_count(0)
    hand.tap("Keep my guess")
    expect(page.get_by_text("First guess: Fine position off")).to_be_visible()
    expect(page.locator(".causes .share b").first).to_have_text("Hanger bent inward")
    expect(page.locator(".reasons").first).to_contain_text("a knock in transport")

    hand.tap("Close the comeback")
    expect(alert).to_have_text("Say first whether the cause was found.")
    hand.tap("cause found")
    expect(alert).to_have_count(0)
    hand.tap("Close the comeback")
    expect(alert).to_have_text("Choose the cause that was found.")
    page.get_by_label("Cause found").select_option(label="Hanger bent inward")
    expect(alert).to_have_count(0)
    page.get_by_label("What was done").fill("Straightened, measured again")
    hand.tap("the rider")
    hand.tap("Close the comeback")
    expect(page.get_by_text("Closed: Hanger bent inward.")).to_be_visible()

    review = book.call("GET", f"/jobs/{book.comeback}/review")
    assert review["first_guess"]["cause"] == "fine_position_off"
    assert (review["closing"]["cause"], review["closing"]["borne_by"]) == ("hanger_bent_inward", "rider")
    assert book.call("GET", f"/jobs/{book.comeback}")["state"] == "closed"


def test_the_road_log_tells_what_stands_once(reviewing: Phone, book: WorkshopBook):
    page = reviewing.page
    entries = book.call("GET", f"/jobs/{book.first_visit}/entries")["entries"]
    [turned] = [one for one in entries if one["stage"] == "road"]
    more = {"stage": "road", "replaces": turned["id"]}
    book.log(book.first_visit, "adjustment", turned["data"] | {"effect": "better"}, **more)
    noise = book.log(book.first_visit, "noise", {"sound": "creak", "when": []}, "road")
    book.log(book.first_visit, "void", {}, "road", replaces=noise)
    book.send()
    go(page, "#/")
    go(page, f"#/jobs/{book.comeback}/review")
    page.get_by_text("The road log of that job, 1 entry").click()
    expect(page.get_by_text("it got better")).to_be_visible()


def test_with_nothing_read_as_found_the_comparison_says_so(reviewing: Phone, book: WorkshopBook):
    page = reviewing.page
    again = book.job(book.returned, "comeback", comeback_of=book.first_visit)
    reviewing.call("sendNow")
    reviewing.until("(job) => !!window.book.jobs.value.find((one) => one.id === job)", again)
    go(page, f"#/jobs/{again}/review")
    expect(page.get_by_text("Nothing is read as found yet.")).to_be_visible()
    expect(page.locator("ul.rv")).to_have_count(0)


def test_without_a_signal_it_says_what_to_do(reviewing: Phone, book: WorkshopBook):
    page = reviewing.page
    expect(page.get_by_text("As found against handed over")).to_be_visible()
    reviewing.context.set_offline(True)
    go(page, "#/")
    go(page, f"#/jobs/{book.comeback}/review")
    expect(page.get_by_text(re.compile("open Review again with a signal"))).to_be_visible()
    expect(page.get_by_text("It ticks in the middle since the train.")).to_be_visible()


def test_only_a_comeback_has_a_review(reviewing: Phone, book: WorkshopBook):
    page = reviewing.page
    go(page, f"#/jobs/{book.build}/plan")
    expect(page.get_by_role("navigation").get_by_text("Review")).to_have_count(0)
