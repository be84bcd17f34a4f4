"""`python3 tests screens DIR`: a picture of every screen at three sizes."""

from __future__ import annotations

import argparse
import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path
from typing import Final

from playwright.sync_api import Browser, Page, sync_playwright

from tests.browser.conftest import QUIET
from tests.browser.office import Office
from tests.browser.phone import Phone
from tests.browser.stage import stage
from tests.browser.test_office_open import ROOMS
from tests.browser.tour import LANGUAGES, PALETTES, tour
from tests.support.needs import find_chromium
from tests.support.serving import Server

SIZES: Final = {"phone": (412, 839), "small": (320, 568), "tablet": (820, 1180)}
OFFICE_SIZES: Final = {"tablet": (820, 1180), "laptop": (1280, 800)}
QUIETEN: Final = "* { animation: none !important; transition: none !important; }"


def main(words: Sequence[str]) -> int:
    """Write the pictures; 2 when there is no browser."""
    parser = argparse.ArgumentParser(prog="python3 tests screens", description=__doc__)
    parser.add_argument("folder", type=Path, help="where the pictures go")
    parser.add_argument("--palette", choices=PALETTES, default="night")
    parser.add_argument("--language", choices=LANGUAGES, default="en")
    parser.add_argument("--only", default="", help="only screens whose name begins so")
    args = parser.parse_args(words)
    chromium = find_chromium()
    if chromium is None:
        print("screens: expected Chromium on this machine; python3 tests installs it.")
        return 2
    args.folder.mkdir(parents=True, exist_ok=True)
    count = take(args, str(chromium))
    print(f"{count} pictures in {args.folder}")
    return 0


def take(args: argparse.Namespace, chromium: str) -> int:
    """Walk through the screens and take every picture; return how many."""
    count = 0
    with (
        tempfile.TemporaryDirectory() as folder,
        stage(Path(folder)) as house,
        sync_playwright() as play,
    ):
        browser = play.chromium.launch(executable_path=chromium, args=list(QUIET))
        page = browser.new_context(**play.devices["Pixel 7"]).new_page()
        phone = Phone(page, house.url)
        for name in tour(phone, house, args.language, args.palette):
            if name.startswith(args.only):
                count += shoot(page, args.folder, name)
        count += office(browser, Path(folder) / "office", args)
        browser.close()
    return count


def office(browser: Browser, folder: Path, args: argparse.Namespace) -> int:
    """Take every room of the office, at laptop and tablet size."""
    folder.mkdir()
    server = Server(folder).start()
    count = 0
    try:
        owner = Office(browser, server)
        owner.set_up()
        store = "palette => localStorage.setItem('rowcall.office.palette', palette)"
        owner.page.evaluate(store, "night" if args.palette == "night" else "sun")
        for room, there in ROOMS.items():
            name = "office-" + (room.replace("/", "-") or "shows")
            if name.startswith(args.only):
                owner.open(room, there)
                for size, (width, height) in OFFICE_SIZES.items():
                    owner.page.set_viewport_size({"width": width, "height": height})
                    owner.page.screenshot(path=args.folder / f"{name}-{size}.png", style=QUIETEN)
                    count += 1
    finally:
        server.stop()
    return count


def shoot(page: Page, folder: Path, name: str) -> int:
    """Take one screen at every size, each as far as it reaches."""
    for size, (width, height) in SIZES.items():
        page.set_viewport_size({"width": width, "height": height})
        page.screenshot(path=folder / f"{name}-{size}.png", style=QUIETEN)
    width, height = SIZES["phone"]
    page.set_viewport_size({"width": width, "height": height})
    return len(SIZES)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
