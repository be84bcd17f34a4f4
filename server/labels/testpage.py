"""A page that proves a printer: that it prints to scale, black enough and fine enough."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from typing import Any, Final

from server.labels.canvas import Canvas, Letters, PdfCanvas, Point, SvgCanvas
from server.labels.draw import QUIET_MODULES, REACH, draw_qr, read_distance_m

MODULE_SIZES_MM: Final = (3.0, 2.5, 2.0, 1.5, 1.0, 0.7, 0.5)
_TEXT: Final = re.compile(r"PRINT-(\d(?:\.\d)?)MM")
# Our papers' modules are 1.5 mm and more on the smallest roll; half of that leaves room for wear.
LABELS_NEED_MM: Final = 2.5
FINE_MM: Final = 0.7
_SYMBOL_MODULES: Final = 21 + 2 * QUIET_MODULES
_STEPS: Final = (
    "1  Print at 100 % (actual size), not fitted to the page.",
    "2  Lay a ruler on the bars: they must be 100 mm long. If not, switch scaling off.",
    "3  The grey steps must all differ. If black looks grey, change toner, ribbon or darkness.",
    "4  In the office, send a photo of this page (Labels: check a printed test page): each square",
    "    says its size, and the answer is which are read. Then read the 2.5 mm one from 2 m away.",
    "5  Wet a finger and rub the 0.5 mm square. If it smears, cover labels with matt film.",
)


def square_text(module_mm: float) -> str:
    """Return what the square of a module size says."""
    return f"PRINT-{module_mm:g}MM"


def proven(texts: Iterable[str]) -> dict[str, Any]:
    """Return which squares of a printed page were read, and what that says of the printer."""
    found = [match for text in texts if (match := _TEXT.fullmatch(text.strip().upper()))]
    sizes = {float(match[1]) for match in found} & set(MODULE_SIZES_MM)
    read = [size for size in MODULE_SIZES_MM if size in sizes]
    missing = [size for size in MODULE_SIZES_MM if size not in sizes]
    smallest = min(read, default=None)
    return {
        "read_mm": read,
        "missing_mm": missing,
        "smallest_mm": smallest,
        "good": smallest is not None and _good(missing),
        "advice": _advice(smallest, missing),
    }


def _good(missing: Sequence[float]) -> bool:
    """Say whether every size is read that labels are printed in, and some finer for wear."""
    return all(size < FINE_MM for size in missing)


def _advice(smallest: float | None, missing: Sequence[float]) -> str:
    if smallest is None:
        return (
            "No square was read: take the photo from nearer, the whole page in it, in even light."
        )
    if LABELS_NEED_MM in missing:
        return (
            "The 2.5 mm square was not read: take the photo once more, without shadow or"
            " reflection. If it fails again, do not print labels with this printer."
        )
    if _good(missing):
        return f"Read down to {smallest:g} mm: this printer is fine enough for every label."
    return (
        f"Read down to {smallest:g} mm: use this printer for sheets and large rolls only, or change"
        " toner, ribbon or darkness and print the page again."
    )


def printer_page_pdf(page: Point) -> bytes:
    """Return the printer test page as PDF."""
    canvas = PdfCanvas(page)
    canvas.page()
    _draw(canvas, page)
    return canvas.file()


def printer_page_svg(page: Point) -> str:
    """Return the printer test page as SVG."""
    canvas = SvgCanvas(page)
    _draw(canvas, page)
    return canvas.file()


def _draw(canvas: Canvas, page: Point) -> None:
    width, left = page[0], 12.0
    letters = Letters()
    canvas.text((left, 18), "PRINTER TEST PAGE", letters.fitting("PRINTER TEST PAGE", 120, 7))
    y = 26.0
    for step in _STEPS:
        canvas.text((left, y), step, letters.fitting(step, width - 2 * left, 2.6))
        y += 5.5
    canvas.rectangle((left, y), (100, 3))
    canvas.text((left + 102, y + 3), "100 mm", 2.6)
    canvas.rectangle((left, y + 8), (3, 100))
    canvas.text((left + 5, y + 107), "100 mm", 2.6)
    for grey in range(6):
        canvas.rectangle((left + 22 + grey * 12, y + 8), (12, 8), grey / 6)
    _squares(canvas, (left + 22, y + 20), width - left)


def _squares(canvas: Canvas, start: Point, right: float) -> None:
    """Draw one QR of each module size, with how far away it should be read."""
    letters = Letters()
    x, y = start
    row_height = 0.0
    for module in MODULE_SIZES_MM:
        side = module * _SYMBOL_MODULES
        if x + max(side, 24) > right:
            x, y, row_height = start[0], y + row_height, 0.0
        draw_qr(canvas, square_text(module), (x, y), side)
        canvas.text((x + 1, y + side + 3), f"{module:g} mm", 2.4)
        far = read_distance_m(module)
        for line, (way, share) in enumerate(REACH.items()):
            words = f"{way} {far * share:.1f} m"
            canvas.text((x + 1, y + side + 6 + line * 3), words, letters.fitting(words, 22, 2.0))
        x += max(side, 24) + 2
        row_height = max(row_height, side + 15)
