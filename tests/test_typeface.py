"""The typeface: signs that cannot be taken for each other, digits of one width, its licence.

What each figure is checked against is the font files themselves, read with fontTools.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from fontTools.pens.areaPen import AreaPen
from fontTools.pens.boundsPen import BoundsPen
from fontTools.ttLib import TTFont

from server import typeface

FACES = (typeface.REGULAR, typeface.BOLD)


@pytest.mark.parametrize("file", FACES, ids=lambda file: file.stem)
def test_the_measures_that_sizes_are_computed_from_are_those_of_the_font(file: Path) -> None:
    with TTFont(file) as font:
        assert font["OS/2"].sCapHeight / font["head"].unitsPerEm == typeface.CAP_HEIGHT
        widths = {font["hmtx"][font.getBestCmap()[ord(digit)]][0] for digit in "0123456789"}
        assert widths == {typeface.DIGIT_WIDTH * font["head"].unitsPerEm}
        heights = {top(font, sign) for sign in "1234567HIE"}
        assert min(heights) >= font["OS/2"].sCapHeight


@pytest.mark.parametrize("file", FACES, ids=lambda file: file.stem)
def test_signs_that_codes_confuse_are_drawn_apart(file: Path) -> None:
    with TTFont(file) as font:
        # The slash adds ink inside the zero; serifs make the capital I wider than a stroke alone.
        assert ink(font, "0") / box_area(font, "0") > 1.15 * ink(font, "O") / box_area(font, "O")
        assert width(font, "I") > 2 * width(font, "|")
        assert width(font, "l") > 1.3 * width(font, "|")


@pytest.mark.parametrize("file", FACES, ids=lambda file: file.stem)
def test_the_face_has_the_letters_of_europe_and_keeps_the_licences_reserved_name(
    file: Path,
) -> None:
    with TTFont(file) as font:
        known = set(font.getBestCmap())
        assert {ord(sign) for sign in "“Gala”–’…×½€→ŁódźŠčřĳßẞĞŞőűÅØÞ"} <= known
        assert set(range(0x100, 0x180)) <= known  # Latin Extended-A (Unicode chart U0100)
        names = {record.nameID: record.toUnicode() for record in font["name"].names}
        ours = [names[number] for number in (1, 4, 6)]
        assert not any("plex" in name.casefold() for name in ours), ours
        assert "SIL Open Font License" in names[13]
    assert "Reserved Font Name" in file.with_name("OFL.txt").read_text("utf-8")


def test_widths_are_measured_and_unknown_signs_are_question_marks() -> None:
    assert typeface.bold_width("031") == pytest.approx(3 * typeface.DIGIT_WIDTH)
    assert typeface.printable("Łódź 日") == "Łódź ?"


def bounds(font: TTFont, sign: str) -> tuple[float, float, float, float]:
    pen = BoundsPen(font.getGlyphSet())
    font.getGlyphSet()[font.getBestCmap()[ord(sign)]].draw(pen)
    found: Any = pen.bounds
    return found[0], found[1], found[2], found[3]


def top(font: TTFont, sign: str) -> float:
    return bounds(font, sign)[3]


def width(font: TTFont, sign: str) -> float:
    left, _, right, _ = bounds(font, sign)
    return right - left


def box_area(font: TTFont, sign: str) -> float:
    left, low, right, high = bounds(font, sign)
    return (right - left) * (high - low)


def ink(font: TTFont, sign: str) -> float:
    pen = AreaPen(font.getGlyphSet())
    font.getGlyphSet()[font.getBestCmap()[ord(sign)]].draw(pen)
    return abs(float(pen.value))
