"""The typeface of this project, for printed papers: its files, their measures, their licence.

The same face stands in pwa/src/typeface for screens. README.md says where it comes from, and which
faces stand in where it lacks a sign: Japanese, Chinese, Korean. Those are read only where a text
asks for them, and only the signs used are written into a file.
"""

from __future__ import annotations

from functools import cache
from itertools import groupby
from pathlib import Path
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from fpdf import FPDF

FAMILY: Final = "Rowcall Sans"
# Font stack of drawings in SVG: where the face is not at hand, faces of similar width.
STACK: Final = "Rowcall Sans, Arial Narrow, Helvetica, Arial, sans-serif"
CAP_HEIGHT: Final = 0.698  # of the size (sCapHeight of the font's OS/2 table)
REGULAR: Final = Path(__file__).with_name("RowcallSans-Regular.ttf")
BOLD: Final = Path(__file__).with_name("RowcallSans-Bold.ttf")
FALLBACKS: Final = {
    f"{FAMILY} {script}": Path(__file__).with_name(f"RowcallSans-{script}.ttf")
    for script in ("JP", "SC", "KR")
}
NONE: Final = "?"  # for a sign that no face has


def add_to(pdf: FPDF) -> None:
    """Embed the regular and the bold face; only the letters used are written into the file."""
    pdf.add_font(FAMILY, "", REGULAR)
    pdf.add_font(FAMILY, "B", BOLD)


def runs(text: str) -> list[tuple[str, str]]:
    """Return the text in parts of one face each: its family and the signs; NONE where none has."""
    named = [(_family(sign), sign) for sign in text]
    found = [(family or FAMILY, sign if family else NONE) for family, sign in named]
    return [
        (family, "".join(sign for _, sign in part))
        for family, part in groupby(found, key=lambda one: one[0])
    ]


def put(pdf: FPDF, at: tuple[float, float], text: str, points: float, *, bold: bool) -> None:
    """Write one line of text from a point of its base line on, each part in a face that has it."""
    x, y = at
    for family, signs in runs(text):
        if family == FAMILY:
            pdf.set_font(FAMILY, "B" if bold else "", points)
        else:
            if family.lower() not in pdf.fonts:
                pdf.add_font(family, "", FALLBACKS[family])
            pdf.set_font(family, "", points)
        pdf.text(x, y, signs)
        x += pdf.get_string_width(signs)


def printable(text: str) -> str:
    """Return the text with NONE in place of signs that no face has."""
    return "".join(signs for _, signs in runs(text))


def width(text: str, *, bold: bool) -> float:
    """Return the width of a text whose size is 1."""
    return sum(_widths(family, bold)[sign] for family, signs in runs(text) for sign in signs)


def bold_width(text: str) -> float:
    """Return the width of a bold text whose size is 1."""
    return width(text, bold=True)


def fitted(text: str, most: float, *, bold: bool) -> str:
    """Return the text, or as much of it as fits a width at size 1, with an ellipsis."""
    if width(text, bold=bold) <= most:
        return text
    kept = text
    while kept and width(f"{kept.rstrip()}…", bold=bold) > most:
        kept = kept[:-1]
    return f"{kept.rstrip()}…"


def lines(text: str, most: float, *, bold: bool = False) -> list[str]:
    """Break a text into lines of at most a width at size 1: at spaces, else inside a word."""
    found: list[str] = []
    line = ""
    for word in text.split():
        longer = f"{line} {word}".strip()
        if width(longer, bold=bold) <= most:
            line = longer
            continue
        if line:
            found.append(line)
        line = word
        while width(line, bold=bold) > most and len(line) > 1:
            count = next(
                (n for n in range(len(line) - 1, 1, -1) if width(line[:n], bold=bold) <= most), 1
            )
            found.append(line[:count])
            line = line[count:]
    return [*found, line] if line or not found else found


def _family(sign: str) -> str | None:
    """Return the first face that has a sign; the fallbacks are read only for one that lacks."""
    if sign in _widths(FAMILY, True):
        return FAMILY
    return next((family for family in FALLBACKS if sign in _widths(family, False)), None)


@cache
def _widths(family: str, bold: bool) -> dict[str, float]:
    """Return every sign of a face with its width."""
    from fontTools.ttLib import TTFont

    file = FALLBACKS.get(family, BOLD if bold else REGULAR)
    with TTFont(file, lazy=True) as font:
        unit, widths = font["head"].unitsPerEm, font["hmtx"].metrics
        return {
            chr(code): widths[name][0] / unit for code, name in font["cmap"].getBestCmap().items()
        }
