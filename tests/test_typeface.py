"""The typeface: signs that cannot be taken for each other, digits of one width, its licence.

What each figure is checked against is the font files themselves, read with fontTools.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pypdfium2
import pytest
from fontTools.pens.areaPen import AreaPen
from fontTools.pens.boundsPen import BoundsPen
from fontTools.ttLib import TTFont

from server import typeface
from server.drawing.pdf import to_pdf
from server.drawing.scene import Scene, Text
from tests.support import typeface as make

DIGIT_WIDTH = 0.54  # of the size
FACES = (typeface.REGULAR, typeface.BOLD)


@pytest.mark.parametrize("file", FACES, ids=lambda file: file.stem)
def test_the_measures_that_sizes_are_computed_from_are_those_of_the_font(file: Path) -> None:
    with TTFont(file) as font:
        assert font["OS/2"].sCapHeight / font["head"].unitsPerEm == typeface.CAP_HEIGHT
        widths = {font["hmtx"][font.getBestCmap()[ord(digit)]][0] for digit in "0123456789"}
        assert widths == {DIGIT_WIDTH * font["head"].unitsPerEm}
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
    assert typeface.bold_width("031") == pytest.approx(3 * DIGIT_WIDTH)
    assert typeface.printable("Łódź 日 \U0001f3a4 ש") == "Łódź 日 ? ?"
    assert typeface.width("日本", bold=False) == pytest.approx(2.0)  # full width, JIS X 4051


@pytest.mark.parametrize(
    ("text", "families"),
    [
        ("“Gala” Łódź – Ενισχυτής, Прожектор", ["Rowcall Sans"]),
        ("照明ケーブル", ["Rowcall Sans JP"]),
        ("灯光线缆", ["Rowcall Sans JP", "Rowcall Sans SC", "Rowcall Sans JP", "Rowcall Sans SC"]),
        ("무대 조명", ["Rowcall Sans KR", "Rowcall Sans", "Rowcall Sans KR"]),
    ],
)
def test_every_script_has_a_face_that_is_embedded(text: str, families: list[str]) -> None:
    parts = typeface.runs(text)
    assert "".join(signs for _, signs in parts) == text
    scripts = [family for family, _ in parts]
    assert set(scripts) == set(families)
    made = to_pdf([Scene(120, 20, (Text(5, 10, text, 4),))], text)
    page = pypdfium2.PdfDocument(made)[0]
    assert page.get_textpage().get_text_range() == text
    dark = page.render(scale=2).to_pil().convert("L").point(lambda grey: 255 * (grey < 128))
    assert dark.getbbox() is not None
    assert len(made) < 120_000  # only the signs used, of files of 2 MB


def test_the_fallbacks_have_the_signs_of_their_national_standards_and_our_name() -> None:
    """Counts of the standards: JIS X 0208 has 6,355 kanji, KS X 1001 2,350 syllables."""
    signs = {}
    for family, file in typeface.FALLBACKS.items():
        with TTFont(file) as font:
            signs[family[-2:]] = set(font.getBestCmap())
            names = {one.nameID: one.toUnicode() for one in font["name"].names}
            assert "noto" not in names[1].casefold()
            assert "source" not in names[1].casefold()
    kanji = {code for code in signs["JP"] if 0x4E00 <= code <= 0x9FFF} - {
        ord("仝")
    }  # a symbol there
    assert len(kanji) == 6355
    assert sum(0xAC00 <= code <= 0xD7A3 for code in signs["KR"]) == 2350
    chinese = {ord(sign) for sign in "灯线缆箱车门装载"}
    assert chinese <= signs["JP"] | signs["SC"]
    assert "SIL Open Font License" in typeface.REGULAR.with_name("OFL-Noto.txt").read_text("utf-8")


def test_nothing_is_set_below_seven_points_and_lines_break_whole() -> None:
    long = "a name that is far too long for its place"
    shapes = (Text(5, 10, long, 1.2, most=20), Text(5, 15, long, 1.2, most=3, whole=True))
    page = pypdfium2.PdfDocument(to_pdf([Scene(60, 20, shapes)], "t"))[0]
    text = page.get_textpage()
    assert text.get_text_range().startswith("a name that is")
    assert text.get_text_range().endswith("…")
    sizes = {
        round(one.get_font_size(), 2)
        for one in page.get_objects(filter=[pypdfium2.raw.FPDF_PAGEOBJ_TEXT])
    }
    assert min(sizes) >= 7.0, sizes
    broken = typeface.lines(long + " 照明" * 9 + " Donaudampfschiffahrtsgesellschaft", 6.0)
    assert all(typeface.width(line, bold=False) <= 6.0 for line in broken)
    assert "".join(broken).replace(" ", "") == (
        long + " 照明" * 9 + " Donaudampfschiffahrtsgesellschaft"
    ).replace(" ", "")


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


def test_the_files_are_made_anew_by_one_command(tmp_path: Path) -> None:
    """The package is not here: our own files stand in for its, with another name and no slash."""
    whole = tmp_path / "fonts/complete/woff2"
    whole.mkdir(parents=True)
    for file in (typeface.REGULAR, typeface.BOLD):
        with TTFont(file) as font:
            font["name"].setName("Another Sans", 1, 3, 1, 0x409)
            style = file.stem.rsplit("-", 1)[1]
            font["glyf"]["zero.alt02"] = font["glyf"]["zero"]
            font["hmtx"]["zero.alt02"] = font["hmtx"]["zero"]
            font["post"].formatType, font["post"].extraNames, font["post"].mapping = 2.0, [], {}
            for table in font["cmap"].tables:
                table.cmap[0x30] = "O"
            font.flavor = "woff2"
            font.save(whole / f"IBMPlexSansCondensed-{style}.woff2")
    make.own_face(tmp_path, tmp_path, tmp_path)
    for kind in ("RowcallSans-Bold.ttf", "rowcall-sans-bold.woff2"):
        with TTFont(tmp_path / kind) as font:
            assert font["name"].getDebugName(1) == "Rowcall Sans"
            with TTFont(typeface.BOLD) as ours:
                assert ink(font, "0") == ink(ours, "0") != ink(ours, "O")
    assert make.main([]) == 2
    assert make.main([str(tmp_path / "nowhere"), str(tmp_path)]) == 2
