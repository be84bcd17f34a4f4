"""Scenes into a PDF, with the project's own face embedded."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, datetime
from io import BytesIO
from typing import Final

from fpdf import FPDF

from server.drawing.scene import Box, Line, Picture, Scene, Stroke, Text
from server.typeface import FAMILY, add_to, printable

POINTS_PER_MM: Final = 72 / 25.4
A4: Final = (210.0, 297.0)
LETTER: Final = (215.9, 279.4)
DASH: Final = 1.0
SMALLEST: Final = 1.2  # mm: below that nobody reads it


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
    words = printable(text.text)
    pdf.set_text_color(0)
    pdf.set_font(FAMILY, "B" if text.bold else "", text.size * POINTS_PER_MM)
    wide = pdf.get_string_width(words)
    if text.most is not None and wide > text.most > 0:
        smaller = max(SMALLEST, text.size * text.most / wide)
        pdf.set_font(FAMILY, "B" if text.bold else "", smaller * POINTS_PER_MM)
        wide = pdf.get_string_width(words)
    x = text.x - {"start": 0.0, "middle": wide / 2, "end": wide}[text.anchor]
    pdf.text(x, text.y, words)
