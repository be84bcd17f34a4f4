"""The typeface of this project, for printed papers: two files, their measures, their licence.

The same face stands in pwa/src/typeface for screens. README.md says where it comes from.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from fpdf import FPDF

FAMILY: Final = "Rowcall Sans"
# Font stack of drawings in SVG: where the face is not at hand, faces of similar width.
STACK: Final = "Rowcall Sans, Arial Narrow, Helvetica, Arial, sans-serif"
CAP_HEIGHT: Final = 0.698  # of the size (sCapHeight of the font's OS/2 table)
DIGIT_WIDTH: Final = 0.54  # of the size; all ten are equally wide
REGULAR: Final = Path(__file__).with_name("RowcallSans-Regular.ttf")
BOLD: Final = Path(__file__).with_name("RowcallSans-Bold.ttf")


def add_to(pdf: FPDF) -> None:
    """Embed the regular and the bold face; only the letters used are written into the file."""
    pdf.add_font(FAMILY, "", REGULAR)
    pdf.add_font(FAMILY, "B", BOLD)


def printable(text: str) -> str:
    """Return the text with `?` in place of signs that the face lacks."""
    known = _widths()
    return "".join(sign if sign in known else "?" for sign in text)


def bold_width(text: str) -> float:
    """Return the width of a bold text whose size is 1; unknown signs are as wide as `?`."""
    known = _widths()
    return sum(known.get(sign, known["?"]) for sign in text)


@cache
def _widths() -> dict[str, float]:
    """Return every sign of the bold face with its width."""
    from fontTools.ttLib import TTFont

    with TTFont(BOLD, lazy=True) as font:
        unit, widths = font["head"].unitsPerEm, font["hmtx"].metrics
        return {
            chr(code): widths[name][0] / unit for code, name in font["cmap"].getBestCmap().items()
        }
