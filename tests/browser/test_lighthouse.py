"""Lighthouse's gate: accessibility and best practices of every screen and of the customer's page."""

from __future__ import annotations

import pytest

from ops.measure import lighthouse
from tests.browser.served import Served
from tests.browser.workshop_book import WorkshopBook

pytestmark = pytest.mark.skipif(lighthouse.lacking() is not None, reason=lighthouse.lacking() or "")
GATES = {"accessibility": 0.95, "best-practices": 0.95}


def screens(book: WorkshopBook) -> dict[str, str]:
    """Where each screen is, and the heading by which it is known to have come up."""
    build, comeback = f"#/jobs/{book.build}", f"#/jobs/{book.comeback}"
    return {
        "#/": "Bikes",
        f"#/bikes/{book.returned}": "Green mixed-surface 56",
        "#/bikes/new": "New bike",
        f"#/bikes/{book.returned}/edit": "Facts of Green mixed-surface 56",
        f"#/bikes/{book.tourer}/job": "New job",
        f"{build}/bench/front_cage/cage_alignment": "Cage height and rotation",
        f"{build}/bench/hanger/hanger_deviation": "Hanger on the clock face",
        f"{build}/bench/rear_position/shifts": "Shift checks",
        f"{build}/bench/front_cage/note": "Remark or check",
        f"{build}/plan": "Plan of the build",
        f"{build}/road": "Before the ride",
        f"{comeback}/trend/guide_pulley_gap@33x36": "Trend",
        f"{comeback}/review": "Review",
        f"{build}/handover": "Handover",
        f"#/jobs/{book.first_visit}/handover": "Handed over",
        f"{build}/work-out/chain/chain": "Chain length",
        "#/work-out": "Work it out",
        "#/workshop": "Workshop",
        "#/workshop/people": "People and phones",
        "#/workshop/gauges": "Gauges",
        "#/workshop/bands": "Bands",
        "#/workshop/steps": "Steps",
        "#/workshop/causes": "Causes",
        "#/workshop/gauge-study": "Gauge study",
        "#/workshop/customers": "Customers",
        "#/settings": "Settings",
    }


def judge(audited: list[lighthouse.Audited], headings: list[str]) -> None:
    assert [page.heading for page in audited] == headings
    short = [
        (page.heading, category, page.scores[category], page.missed)
        for page in audited
        for category, gate in GATES.items()
        if min(page.scores[category]) < gate
    ]
    assert short == []


def test_every_screen_of_a_paired_phone(served: Served, book: WorkshopBook) -> None:
    wanted = screens(book)
    pages = [f"{served.url}/{where}" for where in wanted]
    judge(lighthouse.audit(pages, list(GATES), pair=f"{served.url}/#/pair/{served.pairing_code()}"), [*wanted.values()])


def test_what_a_browser_sees_that_is_not_paired(served: Served, book: WorkshopBook) -> None:
    link = book.call("POST", f"/records/{book.record['id']}/links")["url"]
    pages = [f"{served.url}/#/pair", link]
    judge(lighthouse.audit(pages, list(GATES)), ["Pair this phone", "Green mixed-surface 56"])
