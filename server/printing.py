"""The port that prints labels, on server/labels, which loads only when labels are asked for."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any, get_args

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
    labels = [label_case(one.case, units, _found(one, paper), _contents(one)) for one in cases]
    work = [job for job in jobs(labels, faces) for _ in range(paper.count)]
    return print_pdf(work, _sheet(paper), paper.first).pdf


def print_test_page(sheet: str) -> bytes:
    """Return the page that proves a printer, as PDF."""
    from server.labels.sheet import PAGES
    from server.labels.testpage import printer_page_pdf

    return printer_page_pdf(PAGES["letter" if sheet == "letter" else "a4"])


def proven_print(texts: Sequence[str]) -> dict[str, Any]:
    """Return what a printer can, from the texts read off its printed test page."""
    from server.labels.testpage import proven

    return proven(texts)


def _found(one: FleetCase, paper: LabelPaper) -> str:
    return ", ".join(filter(None, [one.owner, paper.contact.strip()]))


def _contents(one: FleetCase) -> str:
    lines = [f"{thing.count} x {thing.what}" for thing in one.notes.contents]
    return ", ".join(lines)


def _sheet(paper: LabelPaper) -> Sheet:
    from server.labels.sheet import ROLL_DEFAULT, roll_size, sheet

    if paper.sheet == "roll":
        return sheet("roll", roll=roll_size(paper.roll) if paper.roll else ROLL_DEFAULT)
    name, _, size = paper.sheet.partition("_")
    return sheet(
        "letter" if name == "letter" else "a4", large=size == "large", whole=size == "whole"
    )
