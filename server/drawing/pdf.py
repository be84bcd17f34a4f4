"""Scenes into a PDF, with the project's own face embedded."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, datetime
from io import BytesIO
from typing import Final

from fpdf import FPDF

from server.core.base.units import Units
from server.drawing.scene import Box, Line, Picture, Scene, Stroke, Text
from server.typeface import add_to, fitted, printable, put, width

POINTS_PER_MM: Final = 72 / 25.4
Paper = tuple[float, float]
A4: Final[Paper] = (210.0, 297.0)
LETTER: Final[Paper] = (215.9, 279.4)
DASH: Final = 1.0
LEAST_POINTS: Final = 7.0  # smaller print is not read at a dock (common practice, no source)
LEAST_MM: Final = LEAST_POINTS / POINTS_PER_MM


def paper_of(units: Units) -> Paper:
    """Return the paper of a shop: Letter where it measures in inches, else A4."""
    return LETTER if units.length == "in" else A4


def to_pdf(pages: Iterable[Scene], title: str) -> bytes:
    """Return one PDF with a page for each scene; the same scenes give the same bytes."""
    pdf = FPDF(unit="mm")
    add_to(pdf)
    pdf.set_auto_page_break(auto=False)
    pdf.set_margin(0)
    pdf.set_creation_date(datetime(2000, 1, 1, tzinfo=UTC))
    pdf.set_title(printable(title))
    for scene in pages:
        pdf.add_page(format=(scene.width, scene.height))
        for shape in scene.shapes:
            match shape:
                case Box():
                    _box(pdf, shape)
                case Text():
                    _text(pdf, shape)
                case Line():
                    _stroke(pdf, shape.stroke, dashed=shape.dashed)
                    pdf.line(shape.x1, shape.y1, shape.x2, shape.y2)
                case Stroke():
                    _stroke(pdf, shape.stroke, dashed=False)
                    pdf.polyline(shape.points)
                case Picture():
                    pdf.image(
                        BytesIO(shape.data),
                        x=shape.x,
                        y=shape.y,
                        w=shape.width,
                        h=shape.height,
                        keep_aspect_ratio=True,
                    )
    return bytes(pdf.output() or b"")


def _stroke(pdf: FPDF, width: float, *, dashed: bool) -> None:
    pdf.set_draw_color(0)
    pdf.set_line_width(width)
    if dashed:
        pdf.set_dash_pattern(dash=DASH, gap=DASH)
    else:
        pdf.set_dash_pattern()


def _box(pdf: FPDF, box: Box) -> None:
    style = ""
    if box.stroke:
        _stroke(pdf, box.stroke, dashed=box.dashed)
        style += "D"
    if box.fill is not None:
        pdf.set_fill_color(round(box.fill * 255))
        style += "F"
    if style:
        pdf.rect(box.x, box.y, box.width, box.height, style=style)


def _text(pdf: FPDF, text: Text) -> None:
    """Write a text; one that is too wide is set smaller down to LEAST_POINTS, then cut short."""
    points = max(LEAST_POINTS, text.size * POINTS_PER_MM)
    words = text.text
    if text.most is not None:
        most = text.most * POINTS_PER_MM
        wide = width(words, bold=text.bold) * points
        points = max(LEAST_POINTS, points * min(1.0, most / wide if wide else 1.0))
        words = fitted(words, most / points, bold=text.bold)
        if text.whole and words != text.text:
            return
    wide = width(words, bold=text.bold) * points / POINTS_PER_MM
    x = text.x - {"start": 0.0, "middle": wide / 2, "end": wide}[text.anchor]
    pdf.set_text_color(0)
    put(pdf, (x, text.y), words, points, bold=text.bold)
