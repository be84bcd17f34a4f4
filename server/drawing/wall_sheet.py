"""The wall sheet: every row drawn from the door, its codes readable at 1.5 m."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from server.core.base.units import from_g
from server.core.crew.show_papers import ShowPapers
from server.core.shop.case import Case
from server.drawing.pdf import LEAST_MM, paper_of
from server.drawing.scene import Box, Line, Scene, Shape, Text, shifted
from server.drawing.sheet import people
from server.drawing.sheet import sheet as summary
from server.drawing.views import short, sides
from server.words import words_of

EDGE: Final = 10.0
HEAD: Final = 16.0  # mm over a row's drawing
FOOT: Final = 12.0  # mm under it
# Height of capitals read at 1.5 m: 16 minutes of arc at least (ISO 9241-303:2011, from memory),
# 1 500 mm x tan(16') = 7 mm. Capitals of our face are 0.698 of its size (server/typeface).
READ_AT_1500: Final = 7.0 / 0.698
LEAST: Final = 4.0  # mm em, on a case too small for more
_SIDES: Final = {"driver side": "side.driver", "kerb side": "side.curb"}
WIDE: Final = 0.56  # width of a letter of a code, to its size


def wall_pages(papers: ShowPapers) -> list[Scene]:
    """Return the pages of every vehicle: its summary, then its rows, two on a page."""
    pages: list[Scene] = []
    for plan, sheet in zip(papers.plan.vehicles, papers.sheets, strict=True):
        paper = paper_of(papers.show.units)
        first = summary(papers.show, plan, papers.join_url, paper)
        pages += [_with_left_out(page, papers) for page in first]
        rows = sheet["rows"]
        pages += [_page(papers, sheet, rows[at : at + 2]) for at in range(0, len(rows), 2)]
    return pages


def _with_left_out(page: Scene, papers: ShowPapers) -> Scene:
    """Return the summary with the revision, and the cases that do not travel."""
    left = papers.plan.left_out
    say = words_of(papers.language)
    words = say("revision", n=papers.revision)
    if left:
        codes = ", ".join(one.code for one in left)
        words = say("wall.left", revision=words, codes=codes)
    shapes = (*page.shapes, Text(EDGE, page.height - 6, words, 3.2, bold=True, most=150))
    return Scene(page.width, page.height, shapes, page.title)


def _page(papers: ShowPapers, sheet: Mapping[str, Any], rows: list[dict[str, Any]]) -> Scene:
    width, height = paper_of(papers.show.units)
    say = words_of(papers.language)
    shapes: list[Shape] = [
        Text(EDGE, EDGE + 3, f"{sheet['name'] or sheet['id']}, {papers.show.name}", 4.5, bold=True,
             most=width - 2 * EDGE - 45),
        Text(width - EDGE, EDGE + 3, say("revision", n=papers.revision), 4.5, "end"),
    ]  # fmt: skip
    each = (height - 2 * EDGE - 12) / 2
    for number, row in enumerate(rows):
        drawn = _row(papers, sheet, row, (width - 2 * EDGE, each))
        shapes += shifted(drawn, EDGE, EDGE + 6 + number * each)
    shapes.append(Text(EDGE, height - 5, say("caution.straps"), 2.6, most=width - 2 * EDGE))
    return Scene(width, height, tuple(shapes), say("wall.rows_drawn", vehicle=sheet["id"]))


def _row(
    papers: ShowPapers,
    sheet: Mapping[str, Any],
    row: Mapping[str, Any],
    room: tuple[float, float],
) -> list[Shape]:
    """Return one row in a field of this width and height, mm."""
    width, height = room
    cases = {case.code: case for case in papers.show.cases}
    top = max((one["z"] + one["dz"] for one in row["places"]), default=1)
    scale = min(width / sheet["width_um"], (height - HEAD - FOOT) / top)
    floor = height - FOOT
    shapes: list[Shape] = [*_head(papers, row, cases, width)]
    wall = sheet["width_um"] * scale
    left = (width - wall) / 2
    shapes.append(Line(left, floor, left + wall, floor, 1.0))
    up = floor - top * scale - 2
    shapes += [Line(edge, up, edge, floor, 0.6) for edge in (left, left + wall)]
    for place in row["places"]:
        box = (
            left + place["x"] * scale,
            floor - (place["z"] + place["dz"]) * scale,
            place["dx"] * scale,
            place["dz"] * scale,
        )
        shapes += _case(papers, place, cases.get(place["code"]), box)
    vehicle = papers.show.vehicle(sheet["id"])
    say = words_of(papers.language)
    first, second = (say(_SIDES[side]) for side in sides(vehicle))
    shapes += [
        Text(left, floor + 5, first, 3.6),
        Text(left + wall, floor + 5, second, 3.6, "end"),
        Text(width / 2, floor + 5, _slack(papers, row), 4.2, "middle", bold=row["fill"] is not None,
             most=wall - 50),
    ]  # fmt: skip
    return shapes


def _slack(papers: ShowPapers, row: Mapping[str, Any]) -> str:
    units = papers.show.units
    slack, behind = row["slack_um"], row.get("void_um", 0)
    say = words_of(papers.language)
    free = f"{short(slack, units)} {units.length}"
    words = [say("wall.slack", length=free) if slack else say("wall.no_slack")]
    if behind:
        words.append(say("wall.open", length=f"{short(behind, units)} {units.length}"))
    if row["fill"] is not None:
        words.append(say("wall.fill"))
    return ", ".join(words)


def _head(
    papers: ShowPapers, row: Mapping[str, Any], cases: Mapping[str, Case], width: float
) -> list[Shape]:
    units, say = papers.show.units, words_of(papers.language)
    depth = short(row["start_um"] + row["depth_um"], units)
    known = [cases[one["code"]].mass_g for one in row["places"] if one["code"] in cases]
    mass = f"{from_g(sum(known), units.mass):,.0f} {units.mass}"
    if not all(known):
        mass = say("wall.over", mass=mass)
    straps = say("wall.straps", n=row["straps"])
    reach = say("wall.to", depth=f"{depth} {units.length}", mass=mass)
    return [
        Line(0, 1, width, 1, 0.5),
        Text(0, 12, say("wall.row", number=row["number"]), READ_AT_1500 * 1.2, bold=True),
        Text(width, 11, straps, READ_AT_1500, "end", bold=True),
        Text(42, 11, reach, 4.6, most=width - 95),
    ]


def _case(
    papers: ShowPapers,
    place: Mapping[str, Any],
    case: Case | None,
    box: tuple[float, float, float, float],
) -> list[Shape]:
    """Return one case: its code as large as its box takes it, then what to know of it."""
    x, y, wide, tall = box
    size, lines = _lettering(place["code"], wide - 2, tall * 0.62)
    shapes: list[Shape] = [Box(x, y, wide, tall, 1.0, 0.5)]
    small = max(LEAST_MM, min(4.4, (tall - size * len(lines)) / 3.4))
    about = _about(papers, case)
    high = size * len(lines) + small * 1.15 * len(about)
    at = y + max(0.5, (tall - high) / 2)
    middle = x + wide / 2
    for line in lines:
        at += size
        shapes.append(
            Text(middle, at - size * 0.15, line, size, "middle", bold=True, most=wide - 1)
        )
    for words in about:
        at += small * 1.15
        if at <= y + tall:
            shapes.append(Text(middle, at, words, small, "middle", most=wide - 1))
    return shapes


def _lettering(code: str, wide: float, tall: float) -> tuple[float, list[str]]:
    """Return the size and lines of a code: in one line where that is read at 1.5 m, else in two."""
    half = code.find("-", len(code) // 3) + 1
    ways = [[code], *([[code[:half], code[half:]]] if 0 < half < len(code) else [])]
    sized = [
        (min(READ_AT_1500 * 1.3, wide / (max(map(len, lines)) * WIDE), tall / len(lines)), lines)
        for lines in ways
    ]
    enough = next((one for one in sized if one[0] >= READ_AT_1500), None)
    size, lines = enough or max(sized, key=lambda one: one[0])
    return max(LEAST, size), lines


def _about(papers: ShowPapers, case: Case | None) -> list[str]:
    """Return weight, drop and who it takes, then the name."""
    if case is None:
        return []
    units, say = papers.show.units, words_of(papers.language)
    weight = say("wall.unweighed")
    if case.mass_g:
        weight = f"{from_g(case.mass_g, units.mass):,.0f} {units.mass}"
    drops = {one.drop for one in papers.show.cases}
    drop = f", {drop_words(papers, case.drop)}" if len(drops) > 1 else ""
    who = _who(papers, case.code)
    # The name comes last: where a case is low, it is what is left out.
    return [one for one in (f"{weight}{drop}, {who}".rstrip(", "), case.name) if one]


def _who(papers: ShowPapers, code: str) -> str:
    """Return how many people a case takes where it stands."""
    for plan in papers.plan.vehicles:
        for place in plan.places():
            if place.code == code:
                return people(
                    papers.show, papers.show.vehicle(plan.vehicle), place, papers.language
                )
    return ""


def drop_words(papers: ShowPapers, drop: int) -> str:
    """Return a drop with its name in the language of the papers."""
    say, name = words_of(papers.language), papers.show.details.drop_name(drop)
    return say("drop.named", number=drop, name=name) if name else say("drop", n=drop)
