"""What a person sees does not depend on the fonts of the machine: ink measured on screenshots.

A pixel of CSS is 1/160 in on a phone (density-independent pixel, Android's definition): 15 mm are
94.5 of them. The second machine has one system font alone, made here: half as large as others.
"""

from __future__ import annotations

import os
from collections.abc import Mapping
from io import BytesIO
from pathlib import Path
from typing import Final, NamedTuple

from fontTools.ttLib import TTFont
from PIL import Image
from playwright.sync_api import Page, Playwright

from server import typeface
from tests.browser.conftest import PHONE, QUIET
from tests.browser.phone import Phone
from tests.browser.stage import Stage, stage

WIDTHS: Final = (320, 360, 412)
ROW_NUMBER: Final = 15 / 25.4 * 160
CONFIG: Final = """<?xml version="1.0"?><!DOCTYPE fontconfig SYSTEM "fonts.dtd">
<fontconfig><dir>{fonts}</dir><cachedir>{cache}</cachedir></fontconfig>"""

SYSTEM: Final = """() => {
  const paper = document.createElement("canvas").getContext("2d");
  paper.font = "100px sans-serif";
  return paper.measureText("1").actualBoundingBoxAscent;
}"""


def small_font(folder: Path) -> None:
    """Write the only font of another machine."""
    folder.mkdir()
    with TTFont(typeface.BOLD) as font:
        font["head"].unitsPerEm = 2000
        for record in font["name"].names:
            record.string = record.toUnicode().replace("Rowcall", "Other")
        font.save(folder / "other.ttf")


def ink(page: Page, selector: str) -> tuple[int, int]:
    """Return width and height of what is drawn in an element, in CSS pixels."""
    page.evaluate("document.fonts.ready")
    picture = Image.open(BytesIO(page.locator(selector).screenshot(scale="css"))).convert("L")
    ground = picture.tobytes()[0]
    drawn = picture.point(lambda value: 255 if abs(value - ground) > 128 else 0)
    left, top, right, low = drawn.getbbox() or (0, 0, 0, 0)
    return right - left, low - top


def test_the_row_number_is_the_same_ink_on_a_machine_with_other_fonts(
    play: Playwright, chromium_path: str, tmp_path: Path
) -> None:
    small_font(tmp_path / "fonts")
    config = tmp_path / "fonts.conf"
    config.write_text(CONFIG.format(fonts=tmp_path / "fonts", cache=tmp_path / "cache"))
    with stage(tmp_path / "house") as house:
        usual, other = (
            row_numbers(play, chromium_path, house, {**os.environ, **env})
            for env in ({}, {"FONTCONFIG_FILE": str(config)})
        )
    assert usual.system != other.system, "expected two machines with different fonts"
    assert usual.seen == other.seen
    assert min(height for _, height in usual.seen) >= int(ROW_NUMBER)


class Machine(NamedTuple):
    """Height of a digit in the system's face, and the row number's ink at each width."""

    system: float
    seen: list[tuple[int, int]]


def row_numbers(
    play: Playwright, chromium_path: str, house: Stage, env: Mapping[str, str]
) -> Machine:
    """Look at the row number on phones of several widths."""
    browser = play.chromium.launch(executable_path=chromium_path, args=list(QUIET), env=dict(env))
    page = browser.new_context(**play.devices[PHONE], reduced_motion="reduce").new_page()
    phone = Phone(page, house.url)
    phone.join(house.code)
    phone.work()
    system = page.evaluate(SYSTEM)
    seen = []
    for width in WIDTHS:
        page.set_viewport_size({"width": width, "height": 740})
        seen.append(ink(page, ".next-row"))
    browser.close()
    return Machine(system, seen)
