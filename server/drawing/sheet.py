"""The paper of one vehicle: pages that still work with a marker when every phone is dead."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import segno

from server.core.base.figure import CAUTIONS
from server.core.base.units import from_g
from server.core.handling.cards import Site, check_card
from server.core.securing.rows import straps_for_vehicle
from server.core.shop.case_mass import load_of, unweighed
from server.core.shop.plan import Place, Row, VehiclePlan
from server.core.shop.show import Show
from server.core.shop.vehicle import Vehicle
from server.core.weight.balance import MOMENTS_SOURCE, weigh
from server.core.weight.limits import PLATE
from server.drawing.pdf import A4, LEAST_MM, Paper
from server.drawing.scene import Box, Line, Scene, Shape, Text, shifted
from server.drawing.views import short, sides, top_view, words
from server.typeface import fitted, lines
from server.typeface import width as width_of
from server.words import words_of

EDGE: Final = 10.0
TOP: Final = 47.0
VIEW_MOST: Final = 50.0  # mm, the widest drawing from above
TICK: Final = 3.6
SIZE: Final = 3.2  # mm, of a code
SMALL: Final = LEAST_MM  # of what stands under it
LINE: Final = 8.2  # mm: a code and what stands under it
IN_A_LINE: Final = 3  # so many cases stand in one line of a row's entry


def sheet(
    show: Show, plan: VehiclePlan, join_url: str | None = None, paper: Paper = A4
) -> list[Scene]:
    """Return the pages of one vehicle, with the join QR where there is an address.

    A page breaks between rows, never inside one; each has head, drawing and cautions.
    """
    vehicle = show.vehicle(plan.vehicle)
    width, height = paper
    foot = _foot(show, vehicle, plan, width)
    body = height - EDGE - foot.height - TOP
    view = min(VIEW_MOST, (body - 10) * vehicle.width_um / vehicle.length_um)
    x = EDGE + 7 + view + 14
    parts = pages_of(plan.rows, body - 5)
    pages = []
    for number, rows in enumerate(parts, start=1):
        of = f", page {number} of {len(parts)}" if len(parts) > 1 else ""
        shapes: list[Shape] = [
            *_head(show, vehicle, plan, (width, of)),
            *shifted(top_view(vehicle, plan, view, show.units), EDGE + 7, TOP + 4),
            *_rows(show, vehicle, rows, (x, width - EDGE - x, body - 5)),
            *shifted(foot.shapes, 0, TOP + body),
        ]
        if join_url is not None:
            shapes += _qr(join_url, (width - EDGE - 30, EDGE - 2), 30)
        title = f"{show.name}: {vehicle.name or vehicle.id}, {len(plan.rows)} rows{of}"
        pages.append(Scene(width, height, tuple(shapes), title))
    return pages


def pages_of(rows: Sequence[Row], most: float) -> list[tuple[Row, ...]]:
    """Return the rows of each page: as many as fit one under another; one page at least."""
    pages: list[list[Row]] = [[]]
    left = most
    for row in rows:
        high = row_height(row)
        if pages[-1] and high > left:
            pages.append([])
            left = most
        pages[-1].append(row)
        left -= high
    return [tuple(page) for page in pages]


def row_height(row: Row) -> float:
    """Return what the entry of a row takes at least, mm: a line for every few cases."""
    return max(1, -(-len(row.places) // IN_A_LINE)) * LINE + 1.5


def _head(show: Show, vehicle: Vehicle, plan: VehiclePlan, page: tuple[float, str]) -> list[Shape]:
    width, of = page
    unit, mass = show.units.length, show.units.mass
    room = " x ".join(
        short(um, show.units) for um in (vehicle.length_um, vehicle.width_um, vehicle.height_um)
    )
    door = short(vehicle.passing_height_um, show.units)
    load = f"{from_g(plan.mass_g, mass):,.0f} {mass}"
    if vehicle.payload_g is not None:
        left = from_g(vehicle.payload_g - plan.mass_g, mass)
        load += f", payload left {left:,.0f} {mass}"
    without = unweighed(show.case(place.code) for place in plan.places())
    if without:
        worst = load_of(show.case(code) for code in without).high or 0
        load += (
            f" at most; {len(without)} without a mass, up to {from_g(worst, mass):,.0f} {mass} "
            "more: weigh them"
        )
    straps = sum(row.straps for row in plan.rows)
    on_board = f" of {vehicle.straps.count} on board" if vehicle.straps else ""
    floor = f"{len(plan.rows)} rows, {short(plan.floor_length_um, show.units)} {unit} of floor"
    facts = [
        f"inside {room} {unit}, door {door} {unit}",
        f"{len(plan.places())} cases, {load}",
        f"{floor}; straps {straps}{on_board}",
    ]
    most = width - 2 * EDGE - 34
    shapes: list[Shape] = [
        Text(EDGE, EDGE + 5, vehicle.name or vehicle.id, 8, bold=True, most=most),
        Text(EDGE, EDGE + 11, f"{show.name}  {show.date}{of}", 4.2, most=most),
    ]
    broken = [part for fact in facts for part in lines(fact, most / 3)]
    pitch = min(4.4, 18.0 / len(broken))
    shapes += [Text(EDGE, EDGE + 16 + pitch * line, part, 3) for line, part in enumerate(broken)]
    blanks = ("driver", "caller", "dock", "loaded at")
    step = (width - 2 * EDGE) / len(blanks)
    for number, blank in enumerate(blanks):
        x = EDGE + number * step
        shapes += [
            Text(x, TOP - 6, blank, 2.8),
            Line(x + 14, TOP - 6, x + step - 3, TOP - 6),
        ]
    return shapes


def _rows(
    show: Show, vehicle: Vehicle, rows: Sequence[Row], span: tuple[float, float, float]
) -> list[Shape]:
    x, width, high = span
    first, second = sides(vehicle)
    across = f"from {first} to {second}; ^ rides on the case before it"
    shapes: list[Shape] = [Text(x, TOP, across, 2.8)]
    heights = [row_height(row) for row in rows]
    spare = max(0.0, high - sum(heights)) / max(1, len(rows))
    y = TOP + 3
    for row, least in zip(rows, heights, strict=True):
        step = least + min(spare, 9.0)
        shapes += shifted(_row(show, vehicle, row, (width, step)), x, y)
        y += step
    return shapes


def _row(show: Show, vehicle: Vehicle, row: Row, span: tuple[float, float]) -> list[Shape]:
    width, step = span
    unit = show.units.length
    depth = f"to {short(row.start + row.depth, show.units)} {unit}"
    slack = f", slack {short(row.slack, show.units)}" if row.slack else ""
    shapes: list[Shape] = [
        Line(0, 0, width, 0, 0.15),
        Text(0, SIZE * 1.6, str(row.number), SIZE * 1.7, bold=True),
        Text(width, 3.2, f"{depth}{slack}", SMALL, "end"),
        Text(width - 8, step - 1.2, f"straps of {row.straps}", SMALL, "end"),
        Box(width - 6, step - 1 - TICK * 0.9, TICK * 1.5, TICK * 0.9),
    ]
    stacked = _in_order(row)
    columns = min(IN_A_LINE, max(2, len(stacked)))
    each = (width - 10 - 22) / columns
    down = (step - 1.5) / max(1, -(-len(stacked) // columns))
    for number, place in enumerate(stacked):
        line, column = divmod(number, columns)
        at = (8 + column * each, 1 + line * down)
        about = (show.case(place.code).name, people(show, vehicle, place), _how(place))
        shapes += shifted(_case(place, about, each), *at)
    return shapes


def people(show: Show, vehicle: Vehicle, place: Place, language: str = "en") -> str:
    """Say how many a case takes, the spotter among them, as its card and the phone count them."""
    case, say = show.case(place.code), words_of(language)
    if not case.mass_g:
        return say("people.weigh")
    site = Site("shop_load", units=show.units, hands=show.rules.hands)
    card = check_card(case, vehicle, site, place)
    if not card.may_go or card.crew is None:
        return say("people.not")
    return say("people", n=card.crew)


def _how(place: Place) -> str:
    """Say how a case stands where that is not wheels down and lengthwise."""
    if (place.stance, place.turned) == ("upright", False):
        return ""
    return words(place).split(", on ")[0].removeprefix("wheels down, ")


def _case(place: Place, about: tuple[str, str, str], width: float) -> list[Shape]:
    """Return the box to tick, the code, and under it name, people and how the case stands.

    Where they do not fit together it is the name that is cut short.
    """
    tick = SIZE * 1.1
    code = f"^ {place.code}" if place.on else place.code
    name, *rest = about
    said = "; ".join(part for part in rest if part)
    room = (width - 2) / SMALL - width_of(f"; {said}", bold=False)
    short_name = fitted(name, max(0.0, room), bold=False)
    line = "; ".join(part for part in (short_name.removeprefix("…"), said) if part)
    return [
        Box(0, 0, tick, tick),
        Text(tick + 0.8, tick - 0.5, code, SIZE, bold=True, most=width - tick - 2),
        Text(0, tick + SMALL * 1.05, line, SMALL, most=width - 1),
    ]


def _in_order(row: Row) -> list[Place]:
    """Return the cases of a row as they go on: each floor case, then all that rides on it."""

    def stack(place: Place) -> list[Place]:
        riders = [one for one in row.places if one.on and one.on[0] == place.code]
        return [place, *(each for rider in riders for each in stack(rider))]

    floor = sorted((one for one in row.places if not one.on), key=lambda one: one.x)
    return [each for one in floor for each in stack(one)]


def _foot(show: Show, vehicle: Vehicle, plan: VehiclePlan, width: float) -> Scene:
    """Return what stands under the rows of a page, drawn from the top down."""
    y = 4.0
    mass = show.units.mass
    masses = {case.code: case.mass_g for case in show.cases}
    facts = []
    if plan.front_g is not None and plan.rear_g is not None:
        front, rear = from_g(plan.front_g, mass), from_g(plan.rear_g, mass)
        facts.append(f"front {front:,.0f} {mass}, rear {rear:,.0f} {mass} with the load on")
    if plan.rows:
        balance = weigh(vehicle, plan.places(), masses)
        facts.append(f"sides differ by {balance.side_difference:.0%} of the load")
    shapes: list[Shape] = [Text(EDGE, y, "; ".join(facts), 3, most=width - 2 * EDGE)]
    blanks = ("not loaded, and why", "row photos", "chief", "driver", "venue", "time")
    for number, blank in enumerate(blanks):
        line, column = divmod(number, 3)
        x = EDGE + column * (width - 2 * EDGE) / 3
        shapes += [
            Text(x, y + 7 + line * 11, blank, 2.8),
            Line(x, y + 14 + line * 11, x + (width - 2 * EDGE) / 3 - 4, y + 14 + line * 11),
        ]
    look = (
        "Look at the load again within 50 miles, then every 3 hours or 150 miles or change of "
        "duty (49 CFR 392.9)."
    )
    said = [*(CAUTIONS[one] for one in ("straps", "axles", "push")), look]
    said.append(_sources(show, vehicle, plan))
    broken = [part for text in said if text for part in lines(text, (width - 2 * EDGE) / SMALL)]
    shapes += [Text(EDGE, y + 29 + number * 3.1, part, SMALL) for number, part in enumerate(broken)]
    return Scene(width, y + 29 + len(broken) * 3.1, tuple(shapes))


def _sources(show: Show, vehicle: Vehicle, plan: VehiclePlan) -> str:
    """Return where the figures of this page come from."""
    known = [f"payload: {PLATE}"] if vehicle.payload_g is not None else []
    lines = [row.straps for row in straps_for_vehicle(show, vehicle, plan).rows]
    rules = dict.fromkeys(figure.source for figure in lines if figure is not None)
    if rules:
        known.append(f"straps: {'; '.join(rules)}")
    if vehicle.axles is not None:
        known.append(f"axles: {MOMENTS_SOURCE}")
    return f"Sources. {'; '.join(known)}" if known else ""


def _qr(url: str, at: tuple[float, float], size: float) -> list[Shape]:
    """Return a QR code (never Micro QR) with its quiet zone inside `size` mm."""
    matrix = [list(row) for row in segno.make_qr(url, error="m").matrix_iter(border=4)]
    module = size / len(matrix)
    shapes: list[Shape] = [
        Box(at[0] + x * module, at[1] + y * module, module, module, 0.0, 0.02)
        for y, row in enumerate(matrix)
        for x, dark in enumerate(row)
        if dark
    ]
    label = Text(at[0] + size / 2, at[1] + size + 1, "join with this", 2.6, "middle")
    return [*shapes, label]
