"""Every screen of the phone app in every state, one after the other; for the accessibility tests and for pictures."""

from __future__ import annotations

import re
import time
from collections.abc import Callable, Iterator

from playwright.sync_api import expect

from tests.browser.mechanic import Mechanic
from tests.browser.phone import Phone, go
from tests.browser.photo_states import photo_states
from tests.browser.workshop_book import WorkshopBook, keep_some

State = tuple[str, Callable[[], None]]
# All that a screen shows, and whether it says itself that more is to come.
SHOWN = """() => {
  const typed = [...document.querySelectorAll('input, select, textarea')].map((field) => field.value);
  const coming = document.querySelector('[aria-busy=true]') || !document.querySelector('h1')
    || [...document.querySelectorAll('[role=status]')].some((say) => /^(Opening|Asking|Fetching) /.test(say.innerText));
  return { shown: JSON.stringify([document.body.innerHTML, typed]), coming: Boolean(coming) };
}"""


class EveryScreen:
    """Walks a phone that is not paired yet through all states; each step leaves the page in the state it names."""

    def __init__(self, phone: Phone, book: WorkshopBook, code: str) -> None:
        self.phone, self.book, self.code = phone, book, code
        self.page, self.hand = phone.page, Mechanic(phone.page)

    def go(self, where: str) -> None:
        """To an address inside the app, without loading it anew."""
        go(self.page, where)
        self.settled()

    def job(self, job: str, *rest: str) -> None:
        self.go("/".join((f"#/jobs/{job}", *rest)))

    def settled(self, before: str | None = None) -> str:
        """What the screen shows once it stays as it is; it must differ from what was shown before."""
        last, until = None, time.monotonic() + 10
        while time.monotonic() < until:
            now = self.page.evaluate(SHOWN)
            if now["shown"] == last and not now["coming"] and last != before:
                return last
            last = now["shown"]
            self.page.wait_for_timeout(30)
        raise AssertionError("shows what it showed before" if last == before else "never comes to rest")

    def states(self) -> Iterator[State]:
        """Each state's step fails when the screen after it is the one before it."""
        shown = None

        def step(reach: Callable[[], object]) -> None:
            nonlocal shown
            reach()
            shown = self.settled(shown)

        for name, reach in self._steps():
            yield name, lambda reach=reach: step(reach)

    def _steps(self) -> Iterator[State]:
        in_a_job = (self.bench, self.work_out, self.plan, self.road, self.trend, self.review, self.handover)
        for group in (self.pairing, self.bikes, *in_a_job, self.photos, self.rest):
            yield from group()

    def pairing(self) -> Iterator[State]:
        yield "pair", lambda: self.go("#/pair")
        yield "pair-refused", lambda: self.go("#/pair/AAAA-AAAA")
        yield "bikes", self._pair

    def _pair(self) -> None:
        self.go(f"#/pair/{self.code}")
        expect(self.page.get_by_text("Grey all-road 54")).to_be_visible()
        self.phone.wait_sent()

    def bikes(self) -> Iterator[State]:
        def find(words: str) -> None:
            self.page.get_by_label("Find a bike by any word").fill(words)

        yield "bikes-all", lambda: self.hand.tap(self.page.get_by_role("button", name=re.compile("^All")))
        yield "bikes-nothing-found", lambda: find("velvet")
        yield "bike", lambda: self.go(f"#/bikes/{self.book.returned}")
        yield "bike-code", lambda: (self.hand.tap("QR code of this bike"), self.page.locator("svg.qr").wait_for())
        yield "bike-new", lambda: self.go("#/bikes/new")
        yield "bike-new-refused", lambda: self.hand.tap("Keep, then the job")
        yield "bike-more-facts", lambda: self.page.get_by_text("More facts").click()
        yield "job-new", lambda: self.go(f"#/bikes/{self.book.tourer}/job")
        yield "job-new-comeback", lambda: self.hand.tap("comeback")
        yield "bike-missing", lambda: self.go("#/bikes/none")
        yield "address-unknown", lambda: self.go("#/nowhere")

    def bench(self) -> Iterator[State]:
        build = self.book.build
        yield "bench-step", lambda: self.job(build, "bench", "front_cage")
        yield "bench-in-hand", lambda: self.job(build, "bench", "front_cage", "cage_alignment")
        yield "bench-typed", lambda: self.hand.type("0.8")
        yield "bench-slip", lambda: (
            *(self.hand.tap("Delete") for _ in "0.8"),
            self.hand.type("888"),
            self.hand.tap("Keep"),
            expect(self.page.get_by_role("alert")).to_be_visible(),
        )
        yield "bench-go-no-go", lambda: (
            self.job(build, "bench", "rear_gap", "guide_pulley_gap", "33x36"),
            self.hand.tap("go/no-go"),
            self.hand.tap("5"),
        )
        yield "bench-gear", lambda: (
            self.job(build, "bench", "rear_gap", "guide_pulley_gap", "33x28"),
            self.hand.tap("Other gear"),
        )
        yield "bench-turned", lambda: (
            self.job(build, "bench", "rear_position"),
            self.page.get_by_text("I turned something here").click(),
        )
        yield "bench-torque", lambda: self.job(build, "bench", "cockpit", "stem_steerer")
        yield "bench-levers", lambda: self.job(build, "bench", "levers")
        yield "bench-checks", lambda: self.job(build, "bench", "stop_ride")
        yield "bench-held", lambda: self.job(build, "bench", "bar_tape")
        yield "bench-arrival", lambda: self.job(self.book.comeback, "bench", "arrival")
        yield "bench-shifts", lambda: self.job(build, "bench", "rear_position", "shifts")
        yield "bench-shifts-tried", self._try_shifts
        yield "bench-note", lambda: self.job(build, "bench", "front_cage", "note")
        yield "hanger-empty", lambda: self.job(build, "bench", "hanger", "hanger_deviation")
        yield "hanger-read", self._read_hanger

    def _try_shifts(self) -> None:
        for outcome in ("clean", "hesitates", "does not shift"):
            self.hand.shift(outcome)

    def _read_hanger(self) -> None:
        for gap in ("10.2", "9.3", "7.5", "8.7"):
            self.hand.type(gap)
            self.hand.tap("Next")

    def work_out(self) -> Iterator[State]:
        build, comeback = self.book.build, self.book.comeback
        yield "work-out", lambda: self.job(build, "work-out")
        yield "work-out-chain", lambda: self.job(build, "work-out", "chain", "chain")
        yield "work-out-chain-sized", lambda: self._figures("415", then_close=True)
        yield "work-out-chain-refused", lambda: (self._take("chainstay"), self._figures("15", then_close=True))
        yield "work-out-wear", lambda: (self.job(build, "work-out", "wear", "chain"), self._figures("306.3"))
        yield "work-out-torque", lambda: (
            self.job(build, "work-out", "torque", "pedals", "pedal"),
            self._take("adapter"),
            self.hand.type("40"),
            self._take("wrench"),
            self._figures("380", then_close=True),
        )
        yield "work-out-torque-out-of-range", lambda: (
            self._take("wrench goes to"),
            self._figures("25", then_close=True),
        )
        yield "work-out-torque-any", lambda: (
            self.job(build, "work-out", "torque"),
            self.page.get_by_label("Fastener").select_option(label="Seat clamp, 5 N·m"),
        )
        yield "work-out-noise", lambda: self.job(comeback, "work-out", "noise", "rear_position")
        yield "work-out-noise-counted", lambda: (
            self.hand.judged_in((46, 17)),
            self.hand.tap("1 more"),
            self.hand.tap("tick"),
        )
        yield "work-out-noise-tapped", self._tap_along
        yield "work-out-rub", lambda: self.job(build, "work-out", "rub", "rear_position")
        yield "work-out-rub-counted", lambda: self._figures("4", "5", "5", "5", "6", "5")
        yield "work-out-cage", lambda: (
            self.job(build, "work-out", "cage", "front_cage"),
            self._figures("1.9", "1.2", "60"),
        )
        yield "work-out-gears", lambda: (self.job(build, "work-out", "gears"), self._figures("2105", then_close=True))
        yield "work-out-alone", lambda: self.go("#/work-out")
        yield "work-out-alone-chain", lambda: (
            self.go("#/work-out/chain"),
            self._figures("46", "36", "415", then_close=True),
        )
        yield "work-out-alone-hanger", lambda: (self.go("#/work-out/hanger"), self._read_hanger())

    def _take(self, figure: str) -> None:
        """Takes a figure in hand."""
        self.hand.tap(self.page.locator(".fig button", has_text=re.compile(f"^{figure}", re.IGNORECASE)))

    def _figures(self, *typed: str, then_close: bool = False) -> None:
        """Types figures one after the other, from the one in hand on."""
        for text in typed:
            self.hand.type(text)
            self.hand.tap("Next")
        close = self.page.locator(".now").get_by_role("button", name="Close")
        if then_close and close.is_visible():
            close.click()

    def _tap_along(self) -> None:
        self.hand.tap("tap along")
        for n in range(8):
            for part in ("noise", "crank") if n % 2 == 0 else ("noise",):
                self.page.get_by_role("button", name=re.compile(f"^Tap the {part}")).click()
            self.page.wait_for_timeout(330)

    def plan(self) -> Iterator[State]:
        yield "plan", lambda: self.job(self.book.build, "plan")
        yield "plan-parts", lambda: self.hand.tap("Part is here")
        yield "plan-correcting", lambda: (
            self.hand.tap(self.page.get_by_role("button", name=re.compile("^Correct Stem"))),
            self.page.get_by_label("as it should have been").first.fill("five"),
            self.hand.tap("Write it down"),
        )

    def road(self) -> Iterator[State]:
        build, page = self.book.build, self.page
        first_check = page.get_by_role("group", name="Brakes bite and hold")
        yield "road-before", lambda: self.job(build, "road")
        yield "road-blocked", lambda: self.hand.tap(first_check.get_by_role("button", name="failed"))
        yield "road-unchecked", lambda: (
            self.hand.tap(first_check.get_by_role("button", name="passed")),
            self.hand.tap(page.get_by_role("button", name=re.compile("^Start the test ride"))),
        )
        yield "road-stopped", lambda: (
            self.hand.tap(page.get_by_role("button", name=re.compile("^Start with"))),
            page.get_by_text("it moves nothing on the bike").wait_for(),
        )
        yield "road-effect", lambda: (
            self._lose_signal(),
            self.hand.turned("Rear fine position", 1, (33, 28), "hesitates to a larger cog"),
        )
        yield "road-shifts", lambda: (
            self.job(build, "road", "shifts"),
            self.hand.shift("clean"),
            self.hand.shift("rubs"),
        )
        yield "road-checks", lambda: self.job(build, "road", "checks")
        yield "road-note", lambda: self.job(build, "road", "note")
        yield "road-draft", lambda: (
            self.job(build, "road"),
            self.hand.tap(page.get_by_role("button", name=re.compile("^Mark this"))),
            self.hand.tap("better"),
            self.hand.tap(page.get_by_role("group", name="Rear fine position").get_by_role("button").nth(1)),
            self.hand.tap("tick"),
            self.hand.tap("1 more"),
        )
        yield "bikes-riding", lambda: self.go("#/")
        yield "settings-waiting", lambda: self.go("#/settings")
        yield "trend-no-signal", lambda: self.job(self.book.build, "trend", "rear_trim")
        yield "bench-pencilled", lambda: self.job(build, "plan")
        yield "road-ended", lambda: (
            self.phone.context.set_offline(False),
            self.phone.call("sendNow"),
            self.phone.wait_sent(),
            self.job(build, "road"),
            self.hand.tap("End the ride"),
        )

    def _lose_signal(self) -> None:
        self.phone.context.set_offline(True)
        self.phone.call("sendNow")
        self.phone.until("() => window.book.signal.value === 'no_signal'")

    def trend(self) -> Iterator[State]:
        comeback = self.book.comeback
        yield "trend", lambda: (
            self.job(comeback, "trend", "guide_pulley_gap@33x36"),
            self.page.get_by_text("Slope", exact=True).wait_for(),
        )
        yield "trend-setting", lambda: self.job(comeback, "trend", "rear_trim")
        yield "trend-hanger", lambda: self.job(comeback, "trend", "hanger_deviation")

    def review(self) -> Iterator[State]:
        page = self.page
        yield "review-first-guess", lambda: (
            self.job(self.book.comeback, "review"),
            page.get_by_text("What do you think it is?").wait_for(),
        )
        yield "review", lambda: (self.hand.tap("No guess"), page.get_by_text("What fits").wait_for())
        yield "review-closing", lambda: (self.hand.tap("cause found"), self.hand.tap("Close the comeback"))
        yield "review-all-causes", lambda: self.hand.tap(page.get_by_role("button", name=re.compile("^Show all")))

    def handover(self) -> Iterator[State]:
        yield "handover", lambda: self.job(self.book.build, "handover")
        yield "handover-refused", lambda: self.hand.tap(self.page.get_by_role("button", name=re.compile("^Hand over")))
        yield "handed-over", lambda: (
            self.job(self.book.first_visit, "handover"),
            self.page.get_by_text("signed and genuine").wait_for(),
        )
        yield "handed-over-link", lambda: (
            self.hand.tap("Make the customer's link"),
            self.page.locator("svg.qr").wait_for(),
        )

    def photos(self) -> Iterator[State]:
        yield from photo_states(self.phone, self.book.build, self.job)

    def rest(self) -> Iterator[State]:
        page, quantity = self.page, self.page.get_by_label("Quantity")
        yield "workshop", lambda: (
            self.go("#/workshop"),
            self.page.get_by_text("After adjusting").wait_for(),
            self.page.get_by_text("What the stand gets wrong").wait_for(),
        )
        yield "workshop-nothing-read", lambda: (
            quantity.select_option(label="Wheel dish"),
            self.page.get_by_text("Choose another quantity").wait_for(),
        )
        yield "workshop-no-signal", lambda: (
            self.phone.context.set_offline(True),
            quantity.select_option(label="Cage height"),
            self.page.get_by_text("get a signal").first.wait_for(),
        )
        yield "keeps-no-signal", lambda: (self.go("#/workshop/causes"), page.get_by_role("main").wait_for())
        self.phone.context.set_offline(False)
        yield from self.keeps()
        yield "settings", lambda: (self.phone.context.set_offline(False), self.go("#/settings"))
        yield "look", lambda: (self.go("#/look"), self.page.get_by_text("Parts of the rule").wait_for())
        yield "set-aside-head", self._set_aside
        yield "set-aside", lambda: self.hand.tap("2 set aside")
        yield "set-aside-refused", lambda: (
            page.get_by_label("Torque, as it should have been").fill("500"),
            self.hand.tap("Put it right"),
        )
        yield "set-aside-question", lambda: self.hand.tap("Lay it aside…")

    def _set_aside(self) -> None:
        """Two entries as an older app could write them."""
        build = self.book.build
        for data in (
            {"fastener": "stem_steerer", "applied": 99999999, "unit": "N·m"},
            {"fastener": "cable_pinch", "applied": 5, "unit": "N·m"},
        ):
            self.phone.call("log", build, {"kind": "torque", "stage": "bench", "data": data})
        self.phone.until("() => window.book.pending.value.setAside === 2")
        self.job(build, "bench", "front_cage")

    def keeps(self) -> Iterator[State]:
        """What the shop keeps."""
        keep_some(self.book)
        page, tap = self.page, self.hand.tap

        def keep(room: str, *rest: str) -> None:
            self.go("/".join(("#/workshop", room, *rest)))
            page.get_by_text("Asking the service").wait_for(state="detached")

        def fill(label: str, text: str) -> None:
            page.get_by_label(label).first.fill(text)

        yield "keeps-customer", lambda: keep("customers", self.book.customer)
        yield "keeps-people", lambda: keep("people")
        yield "keeps-gauges", lambda: keep("gauges")
        yield "keeps-gauge-new", lambda: keep("gauges", "new")
        yield "keeps-gauge-refused", lambda: (
            fill("Name as it", "Wrench 1"),
            fill("To mm", "wide"),
            tap("Add the gauge"),
        )
        yield "keeps-gauge", lambda: keep("gauges", self.book.wrench)
        yield "keeps-bands", lambda: keep("bands")
        yield "keeps-band", lambda: keep("bands", "guide_pulley_gap")
        yield "keeps-band-typed", lambda: (fill("Lower limit mm", "5"), fill("Upper limit mm", "5.5"))
        yield "keeps-band-refused", lambda: (fill("Upper limit mm", "wide"), tap("Put in force from now"))
        yield "keeps-band-by-drivetrain", lambda: keep("bands", "hanger_deviation")
        yield "keeps-study", lambda: keep("gauge-study")
        yield "keeps-study-missing", lambda: page.get_by_text("Paste a table").click()
        yield "keeps-study-answer", self._study
        yield "keeps-causes", lambda: keep("causes")
        yield "keeps-causes-changed", lambda: tap(page.get_by_role("button", name="Chain worn: in use"))
        yield "keeps-cause", lambda: keep("causes", "cable_drag")
        yield "keeps-steps", lambda: keep("steps")
        yield "keeps-steps-changed", lambda: tap(page.get_by_role("button", name="Wheels: earlier"))
        yield "keeps-step", lambda: keep("steps", "hanger")
        yield "keeps-customers", lambda: keep("customers")
        yield "keeps-customer-erase", lambda: (keep("customers", self.book.customer), tap("Erase their data…"))

    def _study(self) -> None:
        """Five parts, two persons, twice each."""
        values = (4.8, 4.9, 5, 4.9), (5.3, 5.2, 5.4, 5.3), (5.9, 5.9, 6, 6.1), (4.4, 4.5, 4.5, 4.6), (5.1, 5, 5.2, 5.1)
        self.page.get_by_label("Rows of numbers").fill("\n".join("\t".join(map(str, row)) for row in values))
        self.hand.tap("Take it in")
        self.hand.tap("Work it out")
        self.page.get_by_text("Analysis of variance").wait_for()
