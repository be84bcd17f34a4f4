"""Two papers to draw on, PDF and SVG, with the same few strokes; all measures in millimetres.

The letters are the project's own face, embedded in a PDF; signs that neither it nor a fallback has
print as `?` there and as they are in an SVG. Grey is 0 for black and 1 for white.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime
from typing import Final, Protocol
from xml.sax.saxutils import escape

from fpdf import FPDF

from server.typeface import CAP_HEIGHT, STACK, add_to, bold_width, put

Point = tuple[float, float]
POINTS_PER_MM: Final = 72 / 25.4


class Canvas(Protocol):
    """What a label needs of a paper."""

    def rectangle(self, at: Point, size: Point, grey: float = 0) -> None: ...

    def frame(self, at: Point, size: Point, width: float = 0.3) -> None: ...

    def polygon(self, points: Sequence[Point], grey: float = 0) -> None: ...

    def disc(self, centre: Point, radius: float, grey: float = 0) -> None: ...

    def text(self, at: Point, text: str, capital: float, grey: float = 0) -> None: ...


class Letters:
    """The bold face measured: how large a text may be set in a given width."""

    def width(self, text: str, capital: float) -> float:
        """Return the width of a text whose capitals are so high, in mm."""
        return bold_width(text) * capital / CAP_HEIGHT

    def fitting(self, text: str, width: float, most: float) -> float:
        """Return the greatest capital height up to `most` at which a text fits a width."""
        wide = self.width(text, 1.0)
        return min(most, width / wide) if wide else most


class PdfCanvas:
    """Pages of one PDF file."""

    def __init__(self, page: Point) -> None:
        self._pdf = FPDF(unit="mm", format=page)
        add_to(self._pdf)
        self._pdf.set_auto_page_break(auto=False)
        self._pdf.set_margin(0)
        # the same labels give the same file, whenever they are printed
        self._pdf.set_creation_date(datetime(2000, 1, 1, tzinfo=UTC))
        self._pdf.set_title("Case labels")

    def page(self) -> None:
        self._pdf.add_page()

    def _fill(self, grey: float) -> None:
        self._pdf.set_fill_color(round(grey * 255))

    def rectangle(self, at: Point, size: Point, grey: float = 0) -> None:
        self._fill(grey)
        self._pdf.rect(*at, *size, style="F")

    def frame(self, at: Point, size: Point, width: float = 0.3) -> None:
        self._pdf.set_draw_color(0)
        self._pdf.set_line_width(width)
        self._pdf.rect(*at, *size, style="D")

    def polygon(self, points: Sequence[Point], grey: float = 0) -> None:
        self._fill(grey)
        self._pdf.polygon(points, style="F")

    def disc(self, centre: Point, radius: float, grey: float = 0) -> None:
        self._fill(grey)
        x, y = centre
        self._pdf.ellipse(x - radius, y - radius, 2 * radius, 2 * radius, style="F")

    def text(self, at: Point, text: str, capital: float, grey: float = 0) -> None:
        self._pdf.set_text_color(round(grey * 255))
        put(self._pdf, at, text, capital / CAP_HEIGHT * POINTS_PER_MM, bold=True)

    def file(self) -> bytes:
        """Return the PDF."""
        return bytes(self._pdf.output() or b"")


class SvgCanvas:
    """One page as one SVG drawing."""

    def __init__(self, page: Point) -> None:
        width, height = page
        size = f'width="{width:g}mm" height="{height:g}mm" viewBox="0 0 {width:g} {height:g}"'
        self._parts = [
            f'<svg xmlns="http://www.w3.org/2000/svg" {size} shape-rendering="geometricPrecision">',
            f'<rect width="{width:g}" height="{height:g}" fill="#fff"/>',
        ]

    @staticmethod
    def _colour(grey: float) -> str:
        return f"#{round(grey * 255):02x}" + f"{round(grey * 255):02x}" * 2

    def rectangle(self, at: Point, size: Point, grey: float = 0) -> None:
        self._parts.append(
            f'<rect x="{at[0]:.3f}" y="{at[1]:.3f}" width="{size[0]:.3f}" height="{size[1]:.3f}" '
            f'fill="{self._colour(grey)}"/>'
        )

    def frame(self, at: Point, size: Point, width: float = 0.3) -> None:
        self._parts.append(
            f'<rect x="{at[0]:.3f}" y="{at[1]:.3f}" width="{size[0]:.3f}" height="{size[1]:.3f}" '
            f'fill="none" stroke="#000" stroke-width="{width:g}"/>'
        )

    def polygon(self, points: Sequence[Point], grey: float = 0) -> None:
        places = " ".join(f"{x:.3f},{y:.3f}" for x, y in points)
        self._parts.append(f'<polygon points="{places}" fill="{self._colour(grey)}"/>')

    def disc(self, centre: Point, radius: float, grey: float = 0) -> None:
        x, y = centre
        self._parts.append(
            f'<circle cx="{x:.3f}" cy="{y:.3f}" r="{radius:.3f}" fill="{self._colour(grey)}"/>'
        )

    def text(self, at: Point, text: str, capital: float, grey: float = 0) -> None:
        # the size is set in the drawing's own unit, the millimetre
        self._parts.append(
            f'<text x="{at[0]:.3f}" y="{at[1]:.3f}" font-size="{capital / CAP_HEIGHT:.3f}" '
            f'font-family="{STACK}" font-weight="bold" '
            f'fill="{self._colour(grey)}">{escape(text)}</text>'
        )

    def file(self) -> str:
        """Return the drawing."""
        return "\n".join([*self._parts, "</svg>", ""])
