"""Pictures of every screen in every state, at the sizes of four devices, light and dark; into shots/, not in git.

`python -m tests.browser.pictures [--device NAME] [--only WORDS] [--out FOLDER]`
"""

from __future__ import annotations

import argparse
import tempfile
from pathlib import Path

from playwright.sync_api import Browser, sync_playwright

from tests.browser.built_phone import build
from tests.browser.devices import DEVICES
from tests.browser.every_screen import EveryScreen
from tests.browser.phone import ARGS, CHROMIUM, Phone
from tests.browser.served import ROOT, Served
from tests.browser.workshop_book import WorkshopBook, fill

THEMES = ("light", "dark")


def main() -> None:
    words = argparse.ArgumentParser(prog="./ops/shots", description="Takes pictures of every screen, for review.")
    words.add_argument("--device", choices=DEVICES, action="append", help="one device only (all)")
    words.add_argument("--only", default="", help="states whose name holds these words (all)")
    words.add_argument("--out", type=Path, default=ROOT / "shots", help="folder for the pictures (shots)")
    chosen = words.parse_args()
    with tempfile.TemporaryDirectory() as scratch, sync_playwright() as playwright:
        app = build(Path(scratch) / "dist", "pictures")
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=ARGS)
        for device in chosen.device or DEVICES:
            folder = Path(scratch) / device
            folder.mkdir()
            service = Served(folder, app)
            service.start()
            try:
                book = fill(WorkshopBook(service.url, service.pairing_code()))
                taken = take(browser, DEVICES[device], service, book, chosen.out / device, chosen.only)
            finally:
                service.stop()
            print(f"{taken} pictures in {chosen.out / device}", flush=True)
        browser.close()


def take(browser: Browser, device: dict, service: Served, book: WorkshopBook, out: Path, only: str) -> int:
    """Walks one device through all states; each is taken as the screen shows it first."""
    out.mkdir(parents=True, exist_ok=True)
    context = browser.new_context(**device)
    phone = Phone(context.new_page(), service.url).open("#/pair").offline_ready()
    taken = 0
    for number, (name, reach) in enumerate(EveryScreen(phone, book, service.pairing_code()).states(), start=1):
        reach()
        if only not in name:
            continue
        for theme in THEMES:
            phone.page.emulate_media(color_scheme=theme)
            phone.page.wait_for_timeout(120)
            phone.page.screenshot(path=out / f"{number:02d}-{name}-{theme}.png")
            taken += 1
    context.close()
    return taken


if __name__ == "__main__":
    main()
