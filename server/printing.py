"""The port that prints labels, on server/labels, which loads only when labels are asked for."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, get_args

from server.core.base.units import Units
from server.service.label_paper import LabelPaper
from server.service.records import FleetCase

if TYPE_CHECKING:
    from server.labels.sheet import Sheet


def print_labels(cases: Sequence[FleetCase], units: Units, paper: LabelPaper) -> bytes:
    """Return a PDF with the labels of these cases; BadInput for a paper that cannot be."""
    from server.labels.label_case import Copy, label_case
    from server.labels.sheet import jobs, print_pdf

    faces: list[Copy] = [face for face in get_args(Copy) if face in paper.faces]
    work = jobs([label_case(one.case, units, one.owner) for one in cases], faces)
    return print_pdf(work, _sheet(paper), paper.first).pdf


def _sheet(paper: LabelPaper) -> Sheet:
    from server.labels.sheet import ROLL_DEFAULT, roll_size, sheet

    if paper.sheet == "roll":
        return sheet("roll", roll=roll_size(paper.roll) if paper.roll else ROLL_DEFAULT)
    name, _, size = paper.sheet.partition("_")
    return sheet("letter" if name == "letter" else "a4", large=size == "large")
