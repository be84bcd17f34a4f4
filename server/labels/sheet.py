"""Labels on A4 and Letter sheets and on single-label rolls, as PDF or as SVG pages."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final, Literal

from server.labels.canvas import Canvas, Letters, PdfCanvas, Point, SvgCanvas
from server.labels.draw import Place, draw_label
from server.labels.label_case import FACES_OF, Copy, Face, LabelCase
from server.trouble import BadInput

SheetName = Literal["a4", "letter", "roll"]
PAGES: Final[dict[str, Point]] = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
MARGIN: Final = 8.0  # what office printers leave white at most; common practice, no source
ROLL_DEFAULT: Final = (102.0, 152.0)  # the 4 x 6 in roll that most label printers take
ROLL_LEAST, ROLL_MOST = 25.0, 320.0
_ROLL: Final = re.compile(r"(\d{1,3}(?:\.\d{1,2})?)x(\d{1,3}(?:\.\d{1,2})?)")
Job = tuple[LabelCase, Face]


@dataclass(frozen=True, slots=True)
class Sheet:
    """One kind of paper: its page and the places of its labels, in mm."""

    page: Point
    places: tuple[Place, ...]


def sheet(
    name: SheetName, *, large: bool = False, whole: bool = False, roll: Point = ROLL_DEFAULT
) -> Sheet:
    """Return a paper: four labels a sheet (a case's four faces), two when large, one when whole."""
    if name == "roll":
        return Sheet(roll, (Place(1, 1, roll[0] - 2, roll[1] - 2),))
    width, height = PAGES[name]
    across, down = (1, 1) if whole else (1, 2) if large else (2, 2)
    cell = ((width - 2 * MARGIN) / across, (height - 2 * MARGIN) / down)
    return Sheet(
        (width, height),
        tuple(
            Place(MARGIN + x * cell[0] + 1, MARGIN + y * cell[1] + 1, cell[0] - 2, cell[1] - 2)
            for y in range(down)
            for x in range(across)
        ),
    )


def roll_size(text: str) -> Point:
    """Read a roll's label such as 102x152, in mm; BadInput for another form or an odd size."""
    match = _ROLL.fullmatch(text.strip().lower())
    size = (float(match[1]), float(match[2])) if match else (0.0, 0.0)
    if not all(ROLL_LEAST <= side <= ROLL_MOST for side in size):
        expected = f"width x height in mm, each {ROLL_LEAST:g} to {ROLL_MOST:g}, as 102x152"
        raise BadInput("roll", expected, repr(text))
    return size


def jobs(cases: Sequence[LabelCase], copies: Sequence[Copy]) -> list[Job]:
    """Return every label to print, all faces of a case together."""
    return [(case, face) for case in cases for copy in copies for face in FACES_OF[copy]]


def _pages(work: Sequence[Job], paper: Sheet, first: int) -> Iterator[list[tuple[Place, Job]]]:
    """Yield each page's labels with their places; the first page may be partly used already."""
    slots = len(paper.places)
    todo: list[Job | None] = [None] * (first - 1) + list(work)
    for start in range(0, len(todo), slots):
        page = todo[start : start + slots]
        yield [(paper.places[i], job) for i, job in enumerate(page) if job is not None]


def _draw(canvas: Canvas, page: Sequence[tuple[Place, Job]], letters: Letters) -> list[float]:
    return [draw_label(canvas, place, case, face, letters) for place, (case, face) in page]


@dataclass(frozen=True, slots=True)
class Printed:
    """What was drawn: the pages, and the side of the smallest QR module in mm."""

    pdf: bytes
    svg: tuple[str, ...]
    module_mm: float


def print_pdf(work: Sequence[Job], paper: Sheet, first: int = 1) -> Printed:
    """Draw labels as one PDF; `first` is the first free place of a partly used sheet."""
    pages = _pages(work, paper, _checked(first, paper))
    canvas, letters, modules = PdfCanvas(paper.page), Letters(), [float("inf")]
    for page in pages:
        canvas.page()
        modules += _draw(canvas, page, letters)
    return Printed(canvas.file(), (), min(modules))


def print_svg(work: Sequence[Job], paper: Sheet, first: int = 1) -> Printed:
    """Draw labels as SVG, one drawing a page."""
    letters, modules, drawings = Letters(), [float("inf")], []
    for page in _pages(work, paper, _checked(first, paper)):
        canvas = SvgCanvas(paper.page)
        modules += _draw(canvas, page, letters)
        drawings.append(canvas.file())
    return Printed(b"", tuple(drawings), min(modules))


def _checked(first: int, paper: Sheet) -> int:
    if not 1 <= first <= len(paper.places):
        raise BadInput("first place", f"1 to {len(paper.places)} on this paper", first)
    return first
