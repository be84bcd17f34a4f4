"""A page that proves a printer: that it prints to scale, black enough and fine enough."""

from __future__ import annotations

from typing import Final

from server.labels.canvas import Canvas, Letters, PdfCanvas, Point, SvgCanvas
from server.labels.draw import QUIET_MODULES, REACH, draw_qr, read_distance_m

TEST_TEXT: Final = "PRINTER-TEST"
MODULE_SIZES_MM: Final = (3.0, 2.5, 2.0, 1.5, 1.0, 0.7, 0.5)
_SYMBOL_MODULES: Final = 21 + 2 * QUIET_MODULES
_STEPS: Final = (
    "1  Print at 100 % (actual size), not fitted to the page.",
    "2  Lay a ruler on the bars: they must be 100 mm long. If not, switch scaling off.",
    "3  The grey steps must all differ. If black looks grey, change toner, ribbon or darkness.",
    "4  Read every square with the phone that will be used. Labels need the 2.5 mm square",
    "    from 2 m away by photo. If it is not read, do not use this printer for labels.",
    "5  Wet a finger and rub the 0.5 mm square. If it smears, cover labels with matt film.",
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
        draw_qr(canvas, TEST_TEXT, (x, y), side)
        canvas.text((x + 1, y + side + 3), f"{module:g} mm", 2.4)
        far = read_distance_m(module)
        for line, (way, share) in enumerate(REACH.items()):
            words = f"{way} {far * share:.1f} m"
            canvas.text((x + 1, y + side + 6 + line * 3), words, letters.fitting(words, 22, 2.0))
        x += max(side, 24) + 2
        row_height = max(row_height, side + 15)
