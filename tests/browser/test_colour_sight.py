"""Nothing is told by colour alone: seen without one kind of cone, and printed in grey."""

from __future__ import annotations

import re
import subprocess
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.colour_sight import (
    DRAWINGS,
    Mark,
    colour,
    contrast,
    least_contrast,
    least_difference,
    luminance,
    seen,
    told_by_colour_alone,
)
from tests.browser.devices import LAPTOP
from tests.browser.phone import Phone, go
from tests.browser.served import ROOT, Served
from tests.browser.workshop_book import WorkshopBook

GRAPHIC = 3.0  # WCAG 2.2, 1.4.11: contrast of what is drawn and carries a meaning
TEXT = 4.5  # WCAG 2.2, 1.4.3
MEANS_SOMETHING = ("ink", "soft", "scribe", "mark", "brass", "oxide")
WORDS = {"in": "inside", "bo": "borderline", "out": "outside", "no": "no band"}


def declared(text: str) -> dict[str, str]:
    return dict(re.findall(r"--([a-z]+):\s*(#[0-9a-fA-F]{3,6}|var\(--[a-z]+\))", text))


def palettes() -> dict[str, dict[str, str]]:
    """Every set of colours that a screen or a page can have, from the two places that declare them."""
    found = {}
    for where in ("pwa/src/look/tokens.css", "service/record/record.css"):
        css = re.sub(r"/\*.*?\*/", "", (ROOT / where).read_text(encoding="utf-8"), flags=re.DOTALL)
        light, inverted, inked = {}, {}, {}
        for selector, body in re.findall(r"([^{}]+)\{([^{}]*--[^{}]*)\}", css):
            ruled = declared(body)
            if ".now" in selector:
                inked = ruled
            elif ruled.get("ground") == "#fff":
                found[f"{where}, print"] = light | ruled
            elif "ground" in ruled:
                light = light or ruled
                inverted = light | ruled
        found[f"{where}, light"], found[f"{where}, dark"] = light, inverted
        if inked:
            found[f"{where}, light, line in hand"] = light | inked
            found[f"{where}, dark, line in hand"] = inverted | inked
    return found


PALETTES = palettes()


def value(palette: dict[str, str], name: str) -> tuple[float, float, float]:
    given = palette[name]
    return value(palette, given[6:-1]) if given.startswith("var") else colour(given)


def test_the_palettes_are_all_found() -> None:
    """Control: light, dark and print of both places, and the line in hand in light and dark."""
    assert len(PALETTES) == 8
    assert len({tuple(sorted(palette.items())) for palette in PALETTES.values()}) >= 6


def test_the_simulation_does_what_it_is_meant_to() -> None:
    """Greys stay as they are (each row of the published matrices adds up to 1); red and green come near each other."""
    grey, red, green = colour("#808080"), colour("#c04030"), colour("#708020")
    for by in ("protanopia", "deuteranopia", "tritanopia", "grey"):
        assert seen(by, grey) == pytest.approx(grey, abs=0.002)
    assert luminance(seen("grey", red)) == pytest.approx(luminance(red), abs=1e-6)
    assert least_difference(red, green) < 0.5 * least_difference(red, colour("#3060c0"))


@pytest.mark.parametrize("name", PALETTES)
def test_every_colour_that_means_something_stands_out_from_its_ground(name: str) -> None:
    palette = PALETTES[name]
    short = [
        f"{mark} on {ground}: {found:.2f}"
        for mark in MEANS_SOMETHING
        for ground in ("ground", "plate")
        if mark in palette and (found := least_contrast(value(palette, mark), value(palette, ground))) < GRAPHIC
    ]
    assert short == []


def test_brass_and_oxide_cannot_be_told_apart_by_everyone() -> None:
    """Why a verdict has its word and its shape; and a control that the check below can find something."""
    tokens = PALETTES["pwa/src/look/tokens.css, light"]
    assert least_difference(value(tokens, "brass"), value(tokens, "oxide")) < 5
    same = {"form": "line level", "dash": "none", "filling": "none", "width": 2.0, "size": 90.0}
    pair = [Mark("upper", **same, colour=tokens["brass"]), Mark("lower", **same, colour=tokens["oxide"])]
    assert told_by_colour_alone(pair) == ["upper and lower: #654000 and #8e1b10"]
    dashed = Mark("lower", **{**same, "dash": "5px, 4px"}, colour=tokens["oxide"])
    assert told_by_colour_alone([pair[0], dashed]) == []


def screens(book: WorkshopBook) -> dict[str, str]:
    """Where charts and verdicts are, and what is there when the screen has come up."""
    build, comeback = f"#/jobs/{book.build}", f"#/jobs/{book.comeback}"
    return {
        f"{build}/bench/front_cage": ".v.out",
        f"{build}/bench/front_cage/cage_alignment": ".now .rule",
        f"{build}/bench/hanger/hanger_deviation": ".pad",
        f"{build}/plan": ".plan",
        f"{comeback}/trend/guide_pulley_gap@33x36": ".plot .fit",
        f"{comeback}/trend/hanger_deviation": ".plot .st",
        f"{comeback}/review": "h2",
        "#/workshop": ".plot .st",
        "#/look": ".dial",
    }


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    context = browser.new_context(**LAPTOP)
    yield context.new_page()
    context.close()


def looked_at(page: Page) -> tuple[list[str], set[str]]:
    """What is amiss in the page as it stands, and the verdicts it shows."""
    amiss, verdicts = [], page.evaluate(VERDICTS)
    for drawing in page.evaluate(DRAWINGS):
        alone = told_by_colour_alone([Mark(**mark) for mark in drawing["marks"]])
        amiss += [f"{drawing['name']}: {words}" for words in alone]
        means = {mark["means"] for mark in drawing["marks"]}
        if drawing["bands"] and "lim" not in means:
            amiss.append(f"{drawing['name']}: a band without its limits")
    amiss += [words for verdict in verdicts for words in wrong_with(verdict)]
    return amiss, {verdict["kind"] for verdict in verdicts}


VERDICTS = """() => [...document.querySelectorAll('.v')].filter((el) => el.checkVisibility()).map((el) => {
  const style = getComputedStyle(el);
  const behind = getComputedStyle(document.body).backgroundColor;
  const token = (name) => getComputedStyle(el.parentElement).getPropertyValue(name).trim();
  return {
    kind: ['in', 'bo', 'out', 'no'].find((kind) => el.classList.contains(kind)), words: el.textContent.trim(),
    drawn: [...el.querySelectorAll('path')].map((path) => path.getAttribute('d')).join(' '),
    border: style.borderTopStyle === 'none' ? 0 : parseFloat(style.borderTopWidth),
    plate: style.backgroundColor, ink: style.color, behind: token('--ground') || behind,
  };
})"""


def wrong_with(verdict: dict) -> list[str]:
    """Inside is bare, borderline is framed, outside is a filled plate; each says its word."""
    kind, plate, behind = verdict["kind"], colour(verdict["plate"]), colour(verdict["behind"])
    own = "due" in verdict["words"]  # of a gauge's calibration: its own words
    found = [] if own or WORDS[kind] in verdict["words"] else ["its word is missing"]
    others = [word for word in WORDS.values() if word != WORDS[kind] and word in verdict["words"]]
    found += [f"it says {word} too" for word in others]
    if not own and not verdict["drawn"]:
        found.append("its shape is missing")
    if (verdict["border"] >= 2) is not (kind == "bo"):
        found.append(f"its frame is {verdict['border']} px")
    if kind == "out" and least_contrast(plate, behind) < GRAPHIC:
        found.append("its plate cannot be seen")
    if kind != "out" and contrast(plate, behind) > 1.2:
        found.append("it is filled")
    if least_contrast(colour(verdict["ink"]), plate) < TEXT:
        found.append("its word cannot be read")
    return [f"{kind} “{verdict['words']}”: {words}" for words in found]


def test_charts_and_verdicts_of_the_screens(page: Page, served: Served, book: WorkshopBook) -> None:
    phone = Phone(page, served.url).open().pair(served.pairing_code())
    phone.wait_sent()
    phone.until("(bike) => window.book.bikes.value.some((one) => one.id === bike)", book.returned)
    found, kinds = [], set()
    for where, there in screens(book).items():
        go(page, where)
        page.locator(there).first.wait_for()
        if where.endswith("/review"):
            page.get_by_role("button", name="No guess").click()
            page.locator(".v.out").first.wait_for()
        for theme in ("light", "dark"):
            page.emulate_media(color_scheme=theme)
            amiss, shown = looked_at(page)
            kinds |= shown
            found += [f"{where}, {theme}: {words}" for words in amiss]
    assert found == []
    assert kinds == {"in", "bo", "out", "no"}


def test_the_customers_page_and_its_print(page: Page, served: Served, book: WorkshopBook, tmp_path: Path) -> None:
    book.read(book.build, "pad_thickness", 0.95)
    book.send()
    record = book.hand_over(book.build)
    page.goto(book.call("POST", f"/records/{record['id']}/links")["url"])
    expect(page.locator(".v.out")).to_be_visible()
    found = []
    for media, theme in (("screen", "light"), ("screen", "dark"), ("print", "light")):
        page.emulate_media(media=media, color_scheme=theme)
        amiss, kinds = looked_at(page)
        assert kinds >= {"in", "bo", "out"}
        found += [f"{media}, {theme}: {words}" for words in amiss]
    assert found == []
    assert is_grey(page, tmp_path)


def is_grey(page: Page, folder: Path) -> bool:
    """Whether the A4 pages hold no colour at all, so that a grey printer changes nothing."""
    page.pdf(path=folder / "record.pdf", format="A4", prefer_css_page_size=True)
    subprocess.run(["pdftoppm", "-r", "60", folder / "record.pdf", folder / "sheet"], check=True)
    sheets = sorted(folder.glob("sheet*.ppm"))
    assert sheets
    for sheet in sheets:
        kind, size, depth, pixels = sheet.read_bytes().split(b"\n", 3)
        assert (kind, depth) == (b"P6", b"255"), size
        channels = np.frombuffer(pixels, dtype=np.uint8).reshape(-1, 3).astype(int)
        assert channels.min() < 60  # something is printed
        if np.ptp(channels, axis=1).max() > 6:
            return False
    return True
