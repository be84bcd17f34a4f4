"""Lines of text and blocks one under another, broken into pages."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from server.drawing.pdf import A4, Paper
from server.drawing.scene import Line, Scene, Shape, Text, shifted
from server.typeface import lines

EDGE: Final = 12.0
SIZE: Final = 3.2
LEADING: Final = 4.6
TITLE: Final = 5.2
LEAST_WIDTH: Final = 20.0  # mm, of a column of text


class Flow:
    """A column that starts a new page when one is full."""

    def __init__(self, title: str, paper: Paper = A4) -> None:
        self.title = title
        self._paper = paper
        self._pages: list[list[Shape]] = []
        self._y = 0.0
        self.new_page()

    @property
    def width(self) -> float:
        """Width between the edges, mm."""
        return self._paper[0] - 2 * EDGE

    def new_page(self) -> None:
        """Start a page under the title of the whole."""
        self._pages.append([Text(EDGE, EDGE, self.title, SIZE, most=self.width)])
        self._y = EDGE + 4

    def block(self, shapes: Sequence[Shape], height: float) -> None:
        """Put shapes drawn from (0, 0) under what is there."""
        if self._y + height > self._paper[1] - EDGE - LEADING and self._y > EDGE + 4:
            self.new_page()
        self._pages[-1] += shifted(shapes, EDGE, self._y)
        self._y += height

    def heading(self, text: str) -> None:
        """Put a heading with a rule over it."""
        rule = Line(0, 1.5, self.width, 1.5, 0.3)
        self.block([rule, Text(0, 7.5, text, TITLE, bold=True, most=self.width)], 10)

    def line(self, *columns: tuple[float, str], bold: bool = False) -> None:
        """Put text at each of the given places across; each is broken before the next begins."""
        ends = [*(place for place, _ in columns[1:]), self.width]
        shapes: list[Shape] = []
        most = 1
        for (place, text), end in zip(columns, ends, strict=True):
            broken = lines(text, max(LEAST_WIDTH, end - place - 1.5) / SIZE, bold=bold)
            most = max(most, len(broken))
            shapes += [
                Text(place, LEADING * number - 1.2, part, SIZE, bold=bold)
                for number, part in enumerate(broken, start=1)
            ]
        self.block(shapes, LEADING * most)

    def pages(self) -> list[Scene]:
        """Return the pages, numbered."""
        count = len(self._pages)
        wide, high = self._paper
        return [
            Scene(
                *self._paper,
                (*shapes, Text(wide - EDGE, high - 6, f"{number} of {count}", 2.8, "end")),
                self.title,
            )
            for number, shapes in enumerate(self._pages, start=1)
        ]
