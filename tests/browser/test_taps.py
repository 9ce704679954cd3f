"""What a job costs a hand: taps counted by the taps made, digits left out; and what a slip costs."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import expect

from tests.browser.mechanic import Mechanic
from tests.browser.phone import Phone
from tests.browser.served import Served


@pytest.fixture
def at_work(new_phone: Callable[[], Phone], served: Served) -> tuple[Phone, Mechanic, str]:
    """A paired phone with an open build."""
    phone = new_phone().open().offline_ready()
    mechanic = Mechanic(phone.page)
    mechanic.pair_by_link(served.url, served.pairing_code())
    job = phone.new_job()
    phone.wait_sent()
    return phone, mechanic, job


def test_a_bench_value_takes_three_taps_and_its_digits(at_work: tuple[Phone, Mechanic, str]) -> None:
    phone, mechanic, job = at_work
    phone.go(f"#/jobs/{job}/bench/front_cage")
    mechanic.taps = 0
    mechanic.read("Cage height", "1.4")
    assert mechanic.taps <= 3
    mechanic.taps = 0
    mechanic.read("Cage alignment", "0.2")
    assert mechanic.taps == 1, "the next line is in hand already"


def start_ride(phone: Phone, mechanic: Mechanic, job: str) -> None:
    phone.go(f"#/jobs/{job}/road")
    mechanic.start_ride()


def test_a_new_adjustment_takes_four_taps_and_its_repeat_two(at_work: tuple[Phone, Mechanic, str]) -> None:
    phone, mechanic, job = at_work
    start_ride(phone, mechanic, job)
    mechanic.turned("Rear fine position", 1, (33, 28))
    mechanic.taps = 0
    mechanic.turned("Rear fine position", -1, (33, 24), "rubs")
    assert mechanic.taps <= 4, "one step, another cog, why, written down"
    mechanic.taps = 0
    mechanic.turned("Rear fine position", -1, (33, 24))
    assert mechanic.taps <= 2
    mechanic.taps = 0
    mechanic.tap("Nothing needed")
    mechanic.write_down()
    assert mechanic.taps <= 2


def test_several_steps_are_repeated_in_two_taps_and_another_ring_takes_no_more(
    at_work: tuple[Phone, Mechanic, str],
) -> None:
    phone, mechanic, job = at_work
    start_ride(phone, mechanic, job)
    mechanic.turned("Rear fine position", -3, (33, 28), "hesitates to a larger cog")
    for _ in range(2):
        mechanic.taps = 0
        mechanic.tap(phone.page.get_by_role("button", name=re.compile("^Same as last")))
        mechanic.write_down()
        assert mechanic.taps <= 2
    first, *others = [row["entry"] for row in phone.wait_entries(job, 3)]
    assert first["data"]["amount"] == -3
    assert [(one["data"], one["gear"], one["stage"]) for one in others] == [(first["data"], first["gear"], "road")] * 2
    mechanic.taps = 0
    mechanic.turned("Front fine position", 1, (46, 11), "rubs")
    assert mechanic.taps <= 4, "one step, a cog of another ring, why, written down"
    assert phone.wait_entries(job, 4)[-1]["entry"]["gear"] == {"ring": 46, "cog": 11}


def test_taking_back_what_a_turning_did_leaves_the_turning(at_work: tuple[Phone, Mechanic, str]) -> None:
    phone, mechanic, job = at_work
    start_ride(phone, mechanic, job)
    mechanic.turned("Rear fine position", 2, (33, 28))
    mechanic.tap("better")
    mechanic.tap("tick")
    mechanic.write_down()
    expect(phone.page.get_by_text("What did it do?")).to_have_count(0)
    mechanic.tap("Undo")
    expect(phone.page.get_by_text("What did it do?")).to_be_visible()
    expect(phone.page.get_by_text("Changed from the stand: rear 2 inboard")).to_be_visible()
    kinds = [row["entry"]["kind"] for row in phone.wait_entries(job, 5)]
    assert sorted(kinds) == ["adjustment"] * 3 + ["noise", "void"]


def test_what_was_turned_is_reached_without_a_scroll(at_work: tuple[Phone, Mechanic, str]) -> None:
    phone, mechanic, job = at_work
    start_ride(phone, mechanic, job)
    for width, height in ((412, 839), (360, 640)):
        phone.page.set_viewport_size({"width": width, "height": height})
        phone.page.evaluate("() => scrollTo(0, 0)")
        foot = phone.page.locator(".foot").bounding_box()["y"]
        for adjuster in ("Rear fine position", "Front fine position"):
            row = phone.page.get_by_role("group", name=adjuster).bounding_box()
            assert row["y"] + row["height"] <= foot, f"{adjuster} at {width} × {height}"
            assert row["y"] >= 0.4 * height - 1, "within the thumb's reach"


def test_a_second_tap_while_writing_counts_once(at_work: tuple[Phone, Mechanic, str], served: Served) -> None:
    phone, mechanic, job = at_work
    start_ride(phone, mechanic, job)
    mechanic.tap(phone.page.get_by_role("group", name="Rear fine position").get_by_role("button").nth(1))
    phone.page.evaluate(
        """() => {
          const buttons = [...document.querySelectorAll('.foot button')];
          const button = buttons.find((b) => b.innerText.startsWith('Write down'));
          button.click();
          button.click();
        }"""
    )
    phone.page.get_by_text("Written down:").wait_for()
    phone.wait_sent()
    assert served.rows("SELECT count(*) FROM entries WHERE job_id = ?", job) == [(1,)]


def test_a_slip_is_corrected_and_both_stay_readable(at_work: tuple[Phone, Mechanic, str]) -> None:
    phone, mechanic, job = at_work
    phone.go(f"#/jobs/{job}/bench/front_cage")
    mechanic.read("Cage height", "14")
    phone.go(f"#/jobs/{job}/plan")
    mechanic.tap("Correct Cage height 14 mm")
    expect(phone.page.get_by_text("Correcting what was read")).to_be_visible()
    mechanic.type("1.4")
    mechanic.tap("Keep")
    expect(mechanic.heading("Plan of the build")).to_be_attached()
    expect(phone.page.locator("s", has_text="Cage height 14 mm")).to_be_visible()
    first, second = (row["entry"] for row in phone.entries(job))
    assert second["replaces"] == first["id"]
    assert (second["data"]["value"], second["taken_at"]) == (1.4, first["taken_at"])


def test_undo_takes_back_by_a_new_entry(at_work: tuple[Phone, Mechanic, str]) -> None:
    phone, mechanic, job = at_work
    phone.go(f"#/jobs/{job}/bench/front_cage")
    mechanic.read("Cage height", "1.9")
    mechanic.tap("Undo")
    expect(phone.page.locator("button.take", has_text="Cage height")).to_contain_text("not read yet")
    kinds = [row["entry"]["kind"] for row in phone.entries(job)]
    assert kinds == ["reading", "void"]


def test_what_was_turned_in_the_stand_and_a_remark_are_taken_back(at_work: tuple[Phone, Mechanic, str]) -> None:
    phone, mechanic, job = at_work
    phone.go(f"#/jobs/{job}/bench/rear_position")
    phone.page.get_by_text("I turned something here").click()
    mechanic.tap(phone.page.get_by_role("group", name="Rear fine position").get_by_role("button").nth(1))
    mechanic.tap("Write down: rear 1 inboard")
    expect(phone.page.get_by_text("Written down: rear 1 inboard")).to_be_visible()
    mechanic.tap("Undo")
    expect(phone.page.get_by_text("Written down")).to_have_count(0)
    phone.go(f"#/jobs/{job}/bench/rear_position/note")
    phone.page.get_by_label("A remark, or work").fill("New pads soon")
    mechanic.tap("Remark")
    mechanic.tap("Undo the remark")
    expect(phone.page.get_by_text("Written down")).to_have_count(0)
    expect(phone.page.get_by_label("A remark, or work")).to_have_value("New pads soon")
    kinds = [row["entry"]["kind"] for row in phone.wait_entries(job, 4)]
    assert kinds == ["adjustment", "void", "remark", "void"]


def test_a_failed_stop_ride_check_blocks_the_ride_until_it_is_passed(at_work: tuple[Phone, Mechanic, str]) -> None:
    phone, mechanic, job = at_work
    phone.go(f"#/jobs/{job}/road")
    check = phone.page.get_by_role("group", name="Brakes bite and hold")
    start = phone.page.get_by_role("button", name=re.compile("^Start the test ride"))
    mechanic.tap(check.get_by_role("button", name="failed"))
    expect(phone.page.get_by_text("The ride is blocked.")).to_be_visible()
    expect(start).to_have_count(0)
    mechanic.tap(check.get_by_role("button", name="passed"))
    expect(start).to_be_visible()


def test_a_ride_with_open_checks_takes_a_second_step_that_names_them(at_work: tuple[Phone, Mechanic, str]) -> None:
    """Stop-ride checks come before the first metre (common practice): what is open is said, kept at hand and told."""
    phone, mechanic, job = at_work
    page = phone.page
    phone.go(f"#/jobs/{job}/road")
    mechanic.tap(page.get_by_role("group", name="Pedals").get_by_role("button", name="passed"))
    start = page.get_by_role("button", name=re.compile("^Start the test ride"))
    place = start.bounding_box()
    mechanic.tap(start)
    assert phone.signal("ride") is None
    expect(page.get_by_role("alert")).to_contain_text("Not done: brake levers on the expected sides; brakes bite and")
    expect(page.get_by_role("alert")).not_to_contain_text("pedals")
    # A second tap on the same place starts nothing.
    page.mouse.click(place["x"] + place["width"] / 2, place["y"] + place["height"] / 2)
    expect(start).to_be_visible()
    expect(page.get_by_role("group", name="Brake levers on the expected sides")).to_be_in_viewport()
    mechanic.tap(start)
    mechanic.tap("Start with 9 checks not done")
    expect(page.get_by_text("9 stop-ride checks not done.")).to_be_visible()

    mechanic.tap("Do them now")
    mechanic.tap(page.get_by_role("group", name="Brakes bite and hold").get_by_role("button", name="failed"))
    mechanic.tap("Back to the stop")
    expect(page.get_by_role("alert")).to_contain_text("Do not ride on. Failed: brakes bite and hold.")
    mechanic.tap("Put it right and pass it")
    mechanic.tap(page.get_by_role("group", name="Brakes bite and hold").get_by_role("button", name="passed"))
    mechanic.tap("Back to the stop")
    expect(page.get_by_text("8 stop-ride checks not done.")).to_be_visible()
    mechanic.tap("End the ride")
    summary = page.get_by_role("region", name="The last ride")
    expect(summary).to_contain_text("Brakes bite and hold")
    expect(summary).to_contain_text("not passed before the start")
    phone.go(f"#/jobs/{job}/handover")
    late = page.locator("li", has_text="Brakes bite and hold")
    expect(late).to_contain_text("not checked before the test ride, only later")


def test_a_start_by_mistake_is_taken_back(at_work: tuple[Phone, Mechanic, str]) -> None:
    phone, mechanic, job = at_work
    start_ride(phone, mechanic, job)
    mechanic.tap("Undo")
    expect(mechanic.heading("Before the ride")).to_be_attached()
    assert (phone.signal("ride"), phone.entries(job)) == (None, [])
    start_ride(phone, mechanic, job)
    mechanic.tap("Nothing needed")
    mechanic.write_down()
    expect(phone.page.get_by_text("Started:")).to_have_count(0)


def outcomes(phone: Phone, job: str) -> list[tuple[int, int, str]]:
    """Cogs from and to, and the outcome, of each shift check that was logged."""
    checks = [row["entry"]["data"] for row in phone.entries(job) if row["entry"]["kind"] == "shift_check"]
    return [(data["from"]["cog"], data["to"]["cog"], data["outcome"]) for data in checks]


@pytest.mark.parametrize("place", ["bench/rear_position", "road"])
def test_a_clean_shift_takes_one_tap_and_any_other_two(at_work: tuple[Phone, Mechanic, str], place: str) -> None:
    phone, mechanic, job = at_work
    if place == "road":
        start_ride(phone, mechanic, job)
    phone.go(f"#/jobs/{job}/{place}/shifts")
    phone.page.get_by_text("It is in 46 × 10").wait_for()
    mechanic.taps = 0
    mechanic.shift()
    mechanic.shift()
    assert mechanic.taps == 2, "the whole cassette under one place"
    mechanic.shift(to="cog 17")
    assert mechanic.taps == 3, "any gear in the grid"
    mechanic.shift("hesitates")
    mechanic.shift("does not shift")
    assert mechanic.taps == 7
    tried = [(10, 11, "clean"), (11, 12, "clean"), (12, 17, "clean"), (17, 19, "hesitates"), (19, 21, "no_shift")]
    assert outcomes(phone, job) == tried
    assert {row["entry"]["stage"] for row in phone.entries(job)} == {place.split("/")[0]}
    expect(phone.page.get_by_text("It is in 46 × 19")).to_be_visible()
    words = phone.page.get_by_role("button", name="cog 19, it is here, from 17 hesitates")
    expect(words).to_contain_text("he")
    mechanic.tap("Undo")
    expect(phone.page.get_by_text("4 shifts tried, 3 clean.")).to_be_attached()
    phone.go(f"#/jobs/{job}/plan")
    phone.go(f"#/jobs/{job}/{place}/shifts")
    expect(phone.page.get_by_text("4 shifts tried before")).to_be_visible()


def test_gears_are_wide_enough_for_a_glove(at_work: tuple[Phone, Mechanic, str]) -> None:
    phone, _mechanic, job = at_work
    phone.go(f"#/jobs/{job}/bench/rear_position/shifts")
    phone.page.locator(".shifts").wait_for()
    for width, height in ((412, 839), (360, 640)):
        phone.page.set_viewport_size({"width": width, "height": height})
        boxes = [one.bounding_box() for one in phone.page.locator(".cg, .went button, .foot .go").all()]
        assert len(boxes) == 14 + 8 + 1
        assert min(min(box["width"], box["height"]) for box in boxes) >= 64


def test_remark_declined_work_and_checks_are_three_taps_away(at_work: tuple[Phone, Mechanic, str]) -> None:
    phone, mechanic, job = at_work
    start_ride(phone, mechanic, job)
    for place in ("bench/front_cage", "road"):
        for act in ("Remark", "Advised, not wanted"):
            phone.go(f"#/jobs/{job}/{place}")
            mechanic.taps = 0
            mechanic.tap("Remark or check")
            expect(phone.page.get_by_label("A remark, or work")).to_be_focused()
            phone.page.keyboard.type("New pads soon")
            mechanic.tap(act)
            expect(phone.page.get_by_text("Written down")).to_be_visible()
            assert mechanic.taps <= 3
        mechanic.taps = 1
        check = phone.page.get_by_role("group", name="Brakes bite and hold")
        mechanic.tap(check.get_by_role("button", name="passed"))
        expect(check.get_by_role("button", name="passed")).to_have_attribute("aria-pressed", "true")
        assert mechanic.taps <= 3
    kinds = [row["entry"]["kind"] for row in phone.wait_entries(job, 6)]
    assert sorted(kinds) == ["check"] * 2 + ["declined"] * 2 + ["remark"] * 2


def test_the_same_as_last_takes_two_taps(at_work: tuple[Phone, Mechanic, str]) -> None:
    phone, mechanic, job = at_work
    phone.go(f"#/jobs/{job}/bench/front_cage")
    mechanic.read("Cage height", "1.4")
    mechanic.tap("Close")
    mechanic.taps = 0
    mechanic.tap(phone.page.locator("button.take", has_text="Cage height"))
    mechanic.tap("Same as last: 1.4")
    assert mechanic.taps == 2
    phone.wait_entries(job, 2)
    assert [row["entry"]["data"]["value"] for row in phone.entries(job)] == [1.4, 1.4]
