"""A plan as a PDF: a page for each vehicle, more where its rows need them."""

from __future__ import annotations

from server.core.shop.plan import Plan
from server.core.shop.show import Show
from server.drawing.pdf import paper_of, to_pdf
from server.drawing.sheet import sheet


def plan_pdf(show: Show, plan: Plan, join_url: str | None = None) -> bytes:
    """Return the sheets of every vehicle, in the order of the plan."""
    paper = paper_of(show.units)
    pages = [page for loaded in plan.vehicles for page in sheet(show, loaded, join_url, paper)]
    return to_pdf(pages, f"Rows of {show.name}")
