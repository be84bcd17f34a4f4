"""The pull list on paper: every case by where it is kept, and again by the row it stands in."""

from __future__ import annotations

from typing import Final

from server.core.base.units import from_g
from server.core.crew.show_papers import ShowPapers
from server.drawing.flow import Flow
from server.drawing.pdf import paper_of
from server.drawing.scene import Box, Scene, Shape, Text
from server.words import words_of

LINE: Final = 6.2
SIZE: Final = 3.8


def pull_pages(papers: ShowPapers) -> list[Scene]:
    """Return the pages: by home in the order of walking, then by vehicle and row."""
    size = paper_of(papers.show.units)
    say = words_of(papers.language)
    title = say("pull.title", show=papers.show.name, n=papers.revision)
    flow = Flow(title, size)
    rows = {
        place.code: say("pull.row", vehicle=one.vehicle, number=row.number)
        for one in papers.plan.vehicles
        for row in one.rows
        for place in row.places
    }
    left = {one.code for one in papers.plan.left_out}
    _days(flow, papers)
    for home, codes in _by_home(papers).items():
        flow.heading(f"{home or say('pull.no_home')}: {len(codes)}")
        for code in codes:
            where = rows.get(code) or say("pull.left" if code in left else "pull.no_place")
            flow.block(_line(papers, code, where, flow.width), LINE)
    flow.new_page()
    for vehicle in papers.plan.vehicles:
        for row in vehicle.rows:
            flow.heading(say("pull.row_heading", vehicle=vehicle.vehicle, number=row.number))
            for place in row.places:
                home = papers.home(place.code) or "?"
                flow.block(_line(papers, place.code, home, flow.width), LINE)
    if left:
        flow.heading(say("pull.left_heading"))
        for one in papers.plan.left_out:
            flow.line((0, one.code), (45, one.reason))
    return flow.pages()


def _days(flow: Flow, papers: ShowPapers) -> None:
    """Put the day of loading, and the named drops with how many cases each has."""
    details, say = papers.show.details, words_of(papers.language)
    if details.load_day:
        flow.line((0, say("pull.days", load=details.load_day, show=papers.show.date)))
    for drop, name in details.drop_names:
        count = sum(case.drop == drop for case in papers.show.cases)
        if count:
            named = say("drop.named", number=drop, name=name)
            flow.line((0, named), (60, say("cases", n=count)))


def _by_home(papers: ShowPapers) -> dict[str, list[str]]:
    """Return the cases of each home, homes as they are walked and then by name."""
    order = {home.casefold(): place for place, home in enumerate(papers.homes)}
    found: dict[str, list[str]] = {}
    for case in sorted(papers.show.cases, key=lambda one: one.code):
        found.setdefault(papers.home(case.code), []).append(case.code)
    last = len(order)
    return dict(sorted(found.items(), key=lambda one: (order.get(one[0].casefold(), last), one[0])))


def _unweighed(papers: ShowPapers) -> str:
    return words_of(papers.language)("pull.unweighed")


def _line(papers: ShowPapers, code: str, where: str, width: float) -> list[Shape]:
    case = papers.show.case(code)
    units = papers.show.units
    mass = (
        f"{from_g(case.mass_g, units.mass):,.0f} {units.mass}"
        if case.mass_g
        else _unweighed(papers)
    )
    base = LINE - 1.8
    return [
        Box(0, base - 3.4, 4, 4),
        Text(6, base, code, SIZE, bold=True, most=36),
        Text(44, base, case.name, SIZE, most=62),
        Text(108, base, case.department, SIZE, most=24),
        Text(154, base, mass, SIZE, "end", most=22),
        Text(158, base, where, SIZE, most=width - 158),
    ]
