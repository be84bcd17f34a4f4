"""The port that prints labels, on server/labels, which loads only when labels are asked for."""

from __future__ import annotations

from collections.abc import Sequence

from server.core.base.units import Units
from server.service.records import FleetCase


def print_labels(cases: Sequence[FleetCase], units: Units, paper: str) -> bytes:
    """Return a PDF with every label of these cases: both ends, lid and side."""
    from server.labels.label_case import label_case
    from server.labels.sheet import jobs, print_pdf, sheet

    work = jobs([label_case(one.case, units, one.owner) for one in cases], ["ends", "lid", "side"])
    return print_pdf(work, sheet("letter" if paper == "letter" else "a4")).pdf
