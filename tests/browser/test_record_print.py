"""The customer's record on paper: A4 pages that are filled, column by column, before the next begins."""

from __future__ import annotations

import subprocess
from pathlib import Path

import numpy as np
import pytest
from playwright.sync_api import Browser

from tests.browser.workshop_book import WorkshopBook

DPI = 60
MARGIN_MM = 13  # of the page, see record.css
HOLE_MM = 45  # more than a heading and its first line, or one rule, need


@pytest.mark.parametrize("much", [False, True])
def test_the_print_leaves_no_hole(browser: Browser, book: WorkshopBook, tmp_path: Path, much: bool) -> None:
    if much:
        write_much(book)
    record = book.hand_over(book.build if much else book.comeback)
    sheets = printed(browser, book.call("POST", f"/records/{record['id']}/links")["url"], tmp_path)
    assert len(sheets) == (2 if much else 1)
    for n, sheet in enumerate(sheets):
        for side, half in (("left", sheet[:, : sheet.shape[1] // 2]), ("right", sheet[:, sheet.shape[1] // 2 :])):
            assert max(blanks(half, to_the_end=n < len(sheets) - 1)) < HOLE_MM, f"page {n + 1}, {side}"


def write_much(book: WorkshopBook) -> None:
    """What fills two pages: torques, more values, a noise, checks."""
    build = book.build
    torques = ("pedal", 40), ("stem_steerer", 5), ("seat_clamp", 5), ("lever_clamp", 7), ("caliper_mount", 7)
    for fastener, nm in torques:
        book.log(build, "torque", {"fastener": fastener, "applied": nm, "unit": "N·m"})
    for quantity, value in (("rotor_runout", 0.08), ("rim_lateral_runout", 0.2), ("pad_thickness", 2.6)):
        book.read(build, quantity, value)
    book.log(build, "noise", {"sound": "creak", "when": ["seated"]})
    for check in ("brake_hold", "brake_no_leak", "pedals_tight"):
        book.log(build, "check", {"check": check, "outcome": "passed"})
    book.send()


def printed(browser: Browser, url: str, folder: Path) -> list[np.ndarray]:
    """Each A4 page without its margins; true where there is ink."""
    page = browser.new_page()
    page.goto(url)
    page.pdf(path=folder / "record.pdf", format="A4", prefer_css_page_size=True)
    page.close()
    subprocess.run(["pdftoppm", "-gray", "-r", str(DPI), folder / "record.pdf", folder / "sheet"], check=True)
    sheets, margin = [], round(MARGIN_MM / 25.4 * DPI)
    for path in sorted(folder.glob("sheet*.pgm")):
        _, size, _, pixels = path.read_bytes().split(b"\n", 3)
        width, height = map(int, size.split())
        grey = np.frombuffer(pixels, dtype=np.uint8).reshape(height, width)
        sheets.append(grey[margin:-margin, margin:-margin] < 160)
    return sheets


def blanks(ink: np.ndarray, to_the_end: bool) -> list[float]:
    """Heights without ink between what is printed, in mm; below the last, too, where the page goes on."""
    rows = [-1, *np.flatnonzero(ink.any(axis=1)), *([len(ink)] if to_the_end else [])]
    return [float(gap) / DPI * 25.4 for gap in np.diff(rows)]
