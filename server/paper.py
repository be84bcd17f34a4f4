"""The port that draws papers, on server/drawing, which loads only when a paper is asked for."""

from __future__ import annotations

from server.core.crew.show_papers import ShowPapers
from server.core.night.record_sheet import Night
from server.core.shop.plan import Plan
from server.core.shop.show import Show


def draw_sheets(show: Show, plan: Plan, join_url: str | None) -> bytes:
    """Return a PDF with one page for each vehicle of the plan."""
    from server.drawing.rows_pdf import plan_pdf

    return plan_pdf(show, plan, join_url)


def draw_papers(kind: str, papers: ShowPapers) -> bytes:
    """Return one of the papers of a show as a PDF."""
    from server.drawing.driver_sheet import driver_pages
    from server.drawing.pdf import to_pdf
    from server.drawing.pull_list import pull_pages
    from server.drawing.wall_sheet import wall_pages

    pages = {"wall": wall_pages, "driver": driver_pages, "pull": pull_pages}[kind](papers)
    return to_pdf(pages, f"{papers.show.name}: {kind}")


def draw_record(night: Night) -> bytes:
    """Return the record of a night as a PDF."""
    from server.drawing.record_pdf import record_pdf

    return record_pdf(night)
