"""The port that prints labels, on server/labels."""

from __future__ import annotations

from collections.abc import Sequence

from server.core.units import Units
from server.labels.label_case import label_case
from server.labels.sheet import jobs, print_pdf, sheet
from server.service.records import FleetCase


def print_labels(cases: Sequence[FleetCase], units: Units, paper: str) -> bytes:
    """Return a PDF with every label of these cases: both ends, lid and side."""
    work = jobs([label_case(one.case, units, one.owner) for one in cases], ["ends", "lid", "side"])
    return print_pdf(work, sheet("letter" if paper == "letter" else "a4")).pdf
