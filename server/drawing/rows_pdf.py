"""A plan as a PDF: one page for each vehicle."""

from __future__ import annotations

from server.core.shop.plan import Plan
from server.core.shop.show import Show
from server.drawing.pdf import to_pdf
from server.drawing.sheet import sheet


def plan_pdf(show: Show, plan: Plan, join_url: str | None = None) -> bytes:
    """Return the sheets of every vehicle, in the order of the plan."""
    pages = [sheet(show, loaded, join_url) for loaded in plan.vehicles]
    return to_pdf(pages, f"Rows of {show.name}")
