"""What is worked out at the bike without a signal ends in the book as ordinary entries, as the service has them."""

from __future__ import annotations

import json
import re

import pytest
from playwright.sync_api import Locator, expect

from tests.browser.mechanic import Mechanic
from tests.browser.phone import Phone, go
from tests.browser.served import Served
from tests.browser.workshop_book import DOUBLE, WorkshopBook


class Calculator(Mechanic):
    """A mechanic at the pages that work something out."""

    def figure(self, label: str) -> Locator:
        return self.page.locator(".fig button").filter(has=self.page.get_by_text(label, exact=True))

    def fill_in(self, figures: dict[str, str]) -> None:
        """Takes each figure in hand and types it, then lays the keypad aside."""
        for label, text in figures.items():
            if self.figure(label).get_attribute("aria-pressed") != "true":
                self.tap(self.figure(label))
            self.type(text)
        close = self.page.locator(".now").get_by_role("button", name="Close")
        self.tap(close)
        expect(close).to_have_count(0)


def lose_signal(phone: Phone) -> None:
    """The signal goes after the phone has got everything."""
    phone.all_brought()
    phone.context.set_offline(True)


@pytest.fixture
def job(phone: Phone) -> str:
    """A service on a double-ring electronic bike, known to the phone; its signal is gone."""
    job = phone.new_job("service")
    phone.wait_sent()
    lose_signal(phone)
    phone.open(f"#/jobs/{job}/bench")
    return job


@pytest.fixture
def hand(phone: Phone, job: str) -> Calculator:
    return Calculator(phone.page)


def sent(phone: Phone, served: Served) -> list[dict]:
    """The entries as the service holds them, once the signal is back."""
    phone.context.set_offline(False)
    phone.call("sendNow")
    phone.wait_sent()
    rows = served.rows("SELECT body, derived FROM entries ORDER BY device_seq")
    return [json.loads(body) | {"derived": json.loads(derived or "null")} for body, derived in rows]


def test_a_chain_is_sized_and_its_wear_measured(phone: Phone, hand: Calculator, served: Served) -> None:
    page = phone.page
    hand.to_step("Chain sized and joined")
    hand.tap("Chain length")
    expect(page.get_by_text("Never cut a chain by numbers alone")).to_be_visible()
    hand.fill_in({"Chainstay": "415"})
    expect(page.get_by_text("106.4, so 108, and 2 more")).to_be_visible()
    hand.tap("Keep with the bike: chainstay")
    expect(page.get_by_text("Kept with the bike.")).to_be_visible()
    hand.tap("Keep 110 links")
    line = page.locator("li", has_text="Chain length").first
    expect(line).to_contain_text("110")
    expect(line).to_contain_text("kept on this phone")

    hand.tap("Chain wear")
    hand.fill_in({"They measure": "305.8"})
    expect(page.locator(".v.in")).to_contain_text("inside")
    hand.tap("Keep +0.33 %")
    expect(page.locator("li", has_text="Chain elongation").first).to_contain_text("kept on this phone")

    length, wear = sent(phone, served)
    assert length["data"] == {"quantity": "chain_links", "value": 110, "unit": "link"}
    # L / (n p) - 1 by hand: 305.8 / 304.8 - 1 = 0.3281 % (pitch: ISO 9633)
    assert wear["data"] == {"quantity": "chain_elongation", "value": 0.328, "unit": "%"}
    assert wear["note"] == "24 links, 305.8 mm"
    assert {length["stage"], wear["stage"]} == {"bench"}
    drivetrain = json.loads(served.rows("SELECT body FROM bikes")[0][0])["drivetrain"]
    assert drivetrain["chainstay_mm"] == 415


def test_undo_takes_back_what_was_kept(phone: Phone, hand: Calculator, job: str) -> None:
    hand.to_step("Chain sized and joined")
    hand.tap("Chain wear")
    hand.fill_in({"They measure": "305.8"})
    hand.tap("Keep +0.33 %")
    hand.tap("Undo")
    phone.until("(job) => window.book.entriesOf(job).value.some((e) => e.entry.kind === 'void')", job)
    expect(phone.page.locator("li", has_text="Chain elongation").first).to_contain_text("not read yet")


def test_a_torque_through_an_adapter(phone: Phone, hand: Calculator, served: Served) -> None:
    page = phone.page
    hand.to_step("Brakes")
    hand.tap(page.locator("button.take", has_text="Caliper"))
    hand.tap("Adapter, units, range")
    hand.fill_in({"Adapter": "50", "Wrench": "250", "Target": "7"})
    # Lever arms: 7 x 250 / (250 + 50) = 5.83 (US Army TM 9-254)
    expect(page.get_by_role("button", name="Keep 5.8 N·m")).to_be_visible()
    hand.fill_in({"Wrench goes to": "60"})
    expect(page.get_by_text("This wrench is good from 12 to 60 N·m only: take another one.")).to_be_visible()
    hand.fill_in({"Wrench goes to": "20"})
    expect(page.locator(".v.in")).to_contain_text("inside")
    hand.tap("Keep 5.8 N·m")
    line = page.locator("li", has_text="Caliper").first
    expect(line).to_contain_text("wrench 5.8 N·m")
    expect(line.locator(".v.in")).to_contain_text("inside")

    (entry,) = sent(phone, served)
    assert entry["data"] == {
        "fastener": "caliper_mount", "applied": 5.8, "unit": "N·m", "wrench_mm": 250, "adapter_mm": 50, "angle_deg": 0,
    }  # fmt: skip
    assert entry["derived"]["value"] == pytest.approx(5.8 * 300 / 250)
    assert entry["derived"]["verdict"] == "inside"


def test_a_tapped_noise(phone: Phone, hand: Calculator, served: Served, job: str) -> None:
    """Taps twice for each turn of the crank, at steady moments: both pedals, not the crank."""
    page = phone.page
    go(page, f"#/jobs/{job}/work-out/noise")
    hand.tap("tap along")
    expect(page.get_by_text("never tap while riding")).to_be_visible()
    hand.judged_in((46, 17))
    hand.tap("click")
    for n in range(12):
        tap_at(page.get_by_role("button", name=re.compile("^Tap the noise")))
        if n % 2 == 0:
            tap_at(page.get_by_role("button", name=re.compile("^Tap the crank")))
        page.wait_for_timeout(400)
    expect(page.get_by_role("status").filter(has_text="once per pedal stroke")).to_be_visible()
    hand.tap("Keep")
    expect(page.get_by_text("Kept on this phone: click, 12 taps")).to_be_visible()

    (entry,) = sent(phone, served)
    data = entry["data"]
    assert (entry["kind"], entry["stage"], entry["gear"]) == ("noise", "bench", {"ring": 46, "cog": 17})
    assert (data["sound"], data["when"], len(data["taps_ms"]), len(data["crank_taps_ms"])) == ("click", [], 12, 6)
    assert data["taps_ms"][0] == 0
    assert data["taps_ms"] == sorted(data["taps_ms"])
    answer = phone.page.evaluate(
        """async ([data, gear]) => {
          const { taps_ms, crank_taps_ms } = data;
          return window.book.api.post('/calculators/noise', { taps_ms, crank_taps_ms, gear });
        }""",
        [data, entry["gear"]],
    )
    assert answer["candidates"][0]["part"] == "pedal_strokes"
    assert answer["told_apart"] is True
    shown = page.get_by_text(re.compile(r"^One every")).inner_text()
    assert f"{answer['period_ms'] / 1000:.3f}".rstrip("0") in shown


def tap_at(plane: Locator) -> None:
    """A finger on a plane, without waiting for anything else."""
    plane.dispatch_event("pointerdown", {"button": 0})


COGS = (36, 19, 10)
AT_HANDOVER = {36: (5, 5), 19: (5, 5), 10: (5, 5)}
NOW = {36: (2, 8), 19: (3, 7), 10: (4, 6)}


def test_a_rub_window_tells_a_hanger_bent_since_the_handover(phone: Phone, served: Served) -> None:
    """The windows were counted, then turned one step inboard on the ride: one step fewer is left to that side."""
    book = WorkshopBook(served.url, served.pairing_code())
    bike = book.bike("Grey all-road 54", DOUBLE)
    first = book.job(bike, "build")
    for cog, sides in AT_HANDOVER.items():
        for quantity, steps in zip(("rub_in_steps", "rub_out_steps"), sides, strict=True):
            book.read(first, quantity, steps, "step", gear={"ring": 33, "cog": cog})
    book.turn(first, "rear_trim", 1)
    book.send()
    book.hand_over(first)
    second = book.job(bike, "comeback", comeback_of=first)
    phone.call("sendNow")
    phone.until("(id) => !!window.book.jobById(id)", second)
    lose_signal(phone)
    phone.open(f"#/jobs/{second}/bench/rear_position")
    hand = Calculator(phone.page)
    hand.tap("Rub window")
    for cog in COGS:
        inward, outward = NOW[cog]
        hand.fill_in({f"Cog {cog}, outboard": str(outward), f"Cog {cog}, inboard": str(inward)})
    told = phone.page.get_by_text("Since the handover the hanger's lower end has tilted")
    expect(told).to_be_visible()
    tilt = told.locator("b").inner_text()
    hand.tap("Keep 6 counts")
    expect(phone.page.get_by_text("Kept on this phone: 6 counts")).to_be_visible()

    kept = [e for e in sent(phone, served) if e["job_id"] == second]
    assert [e["data"]["quantity"] for e in kept] == ["rub_in_steps", "rub_out_steps"] * 3
    assert [e["gear"]["cog"] for e in kept] == [36, 36, 19, 19, 10, 10]
    body = {"cogs": windows(NOW), "handed_over": windows({c: (i - 1, o + 1) for c, (i, o) in AT_HANDOVER.items()})}
    answer = book.call("POST", "/calculators/rub-window", {**body, "step_mm": 0.2})
    assert answer["tilt_deg"] > 0
    assert f"+{answer['tilt_deg']:.2f}°" == tilt


def windows(counted: dict[int, tuple[int, int]]) -> list[dict]:
    return [{"cog": cog, "in_steps": i, "out_steps": o} for cog, (i, o) in counted.items()]


def test_a_gauge_that_types_like_a_keyboard_loses_no_digit(phone: Phone, hand: Calculator, job: str) -> None:
    page = phone.page
    go(page, f"#/jobs/{job}/bench/hanger/hanger_deviation")
    page.get_by_role("button", name="at 12").wait_for()
    for gap in ("10.25", "9.305", "7.55", "8.705"):
        page.keyboard.type(gap)
        page.keyboard.press("Enter")
    for clock, gap in zip((12, 3, 6, 9), ("10.25", "9.305", "7.55", "8.705"), strict=True):
        expect(page.get_by_role("button", name=f"at {clock}", exact=False).first).to_contain_text(gap)
    expect(page.get_by_text("a hanger can break when it is bent back")).to_be_visible()
    expect(page.get_by_text("On the shifting: in the middle of the cassette")).to_be_visible()
    hand.tap(page.get_by_role("button", name=re.compile("^Keep 2.8")))
    expect(page.locator("li", has_text="Hanger deviation").first).to_contain_text("kept on this phone")


def test_without_a_bike_nothing_can_be_kept(phone: Phone) -> None:
    lose_signal(phone)
    phone.open("#/work-out")
    hand = Calculator(phone.page)
    hand.tap(phone.page.get_by_role("link", name=re.compile("^Chain length")))
    hand.fill_in({"Outer ring": "46", "Largest cog": "36", "Chainstay": "415"})
    expect(phone.page.get_by_text("106.4, so 108, and 2 more")).to_be_visible()
    expect(phone.page.get_by_text("look up what this drivetrain's maker asks for")).to_be_visible()
    expect(phone.page.get_by_role("button", name=re.compile("^Keep"))).to_have_count(0)
