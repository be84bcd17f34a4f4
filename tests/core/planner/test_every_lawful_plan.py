"""No bound lies above a lawful plan, also where the search itself does not go.

Each show comes with a plan made by hand: kinds of stacks that the rules allow and that save floor.
"""

from __future__ import annotations

from typing import Any

import pytest

from server.core.judge import judge
from server.core.planner.solve import solve
from server.core.shop.plan import Place, Plan, Row, VehiclePlan
from server.core.shop.show import Show
from server.files.show_file import parse_show

IN = 25_400
HOST = {"length": 30, "width": 30, "height": 20, "mass": 100, "lid_load": 300}
NARROW = {"length": 30, "width": 22.5, "height": 20, "mass": 100, "lid_load": 300}
TOOLS = {"length": 30, "width": 30, "height": 12, "mass": 60, "rides": True}
SMALL = {"length": 20, "width": 20, "height": 10, "mass": 40, "rides": True}
LONG = {"length": 14, "width": 66, "height": 10, "mass": 60, "rides": True}
BOX = {"length": 30, "width": 30, "height": 12, "mass": 60}

# name, width of the vehicle, cases by code, places (x, y, z, codes below) in inches
HAND: tuple[tuple[str, float, dict[str, dict[str, Any]], dict[str, Any]], ...] = (
    (
        "a rider on a rider",
        30,
        {"A": HOST, "B": {**TOOLS, "lid_load": 100}, "C": SMALL},
        {"A": (0, 0, 0, ()), "B": (0, 0, 20, ("A",)), "C": (0, 0, 32, ("B",))},
    ),
    (
        "casters on a rider, which no hands lift",
        30,
        {"A": HOST, "B": {**TOOLS, "lid_load": 100, "lid_casters": True}, "C": BOX},
        {"A": (0, 0, 0, ()), "B": (0, 0, 20, ("A",)), "C": (0, 0, 32, ("B",))},
    ),
    (
        "two riders bridge three lids in a chain",
        67.5,
        {"A": NARROW, "B": NARROW, "C": NARROW, "D": TOOLS, "E": TOOLS},
        {
            "A": (0, 0, 0, ()),
            "B": (22.5, 0, 0, ()),
            "C": (45, 0, 0, ()),
            "D": (0, 0, 20, ("A", "B")),
            "E": (30, 0, 20, ("B", "C")),
        },
    ),
    (
        "one rider over three lids",
        67.5,
        {"A": NARROW, "B": NARROW, "C": NARROW, "D": LONG},
        {
            "A": (0, 0, 0, ()),
            "B": (22.5, 0, 0, ()),
            "C": (45, 0, 0, ()),
            "D": (0, 0, 20, ("A", "B", "C")),
        },
    ),
    (
        "a rider bridges a host and a rider of another host as high",
        60,
        {
            "A": {**HOST, "height": 32},
            "B": HOST,
            "C": {**TOOLS, "lid_load": 100},
            "D": {**TOOLS, "length": 30, "width": 50},
        },
        {
            "A": (0, 0, 0, ()),
            "B": (30, 0, 0, ()),
            "C": (30, 0, 20, ("B",)),
            "D": (0, 0, 32, ("A", "C")),
        },
    ),
    (
        "a footprint stack carries a rider that another drop needs",
        30,
        {
            "A": {**HOST, "lid_casters": True, "drop": 2},
            "B": {**BOX, "lid_load": 80, "drop": 2},
            "C": {**SMALL, "drop": 1},
        },
        {"A": (0, 0, 0, ()), "B": (0, 0, 20, ("A",)), "C": (0, 0, 32, ("B",))},
    ),
)


def _show(width: float, cases: dict[str, dict[str, Any]]) -> Show:
    return parse_show(
        {
            "format": "rowcall-show-1",
            "vehicles": [{"id": "T", "width": width, "length": 400, "height": 96}],
            "cases": [{"code": code, "turn": False, **case} for code, case in cases.items()],
        }
    )


def _one_row(show: Show, puts: dict[str, Any]) -> Plan:
    places = []
    for case in show.cases:
        x, y, z, on = puts[case.code]
        dx, dy, dz = case.standing("upright", turned=False)
        spot = (round(x * IN), round(y * IN), round(z * IN))
        places.append(Place(case.code, *spot, dx, dy, dz, "upright", turned=False, on=on))
    floor = [place for place in places if not place.on]
    depth = max(place.dy for place in floor)
    slack = show.vehicles[0].width_um - sum(place.dx for place in floor)
    row = Row(1, 0, depth, slack, 1, tuple(places))
    mass = sum(case.mass_g for case in show.cases)
    return Plan((VehiclePlan("T", (row,), depth, mass),), depth, 0, proven=False)


@pytest.mark.parametrize(("name", "width", "cases", "puts"), HAND, ids=[row[0] for row in HAND])
def test_a_bound_lets_every_lawful_plan_be(
    name: str, width: float, cases: dict[str, dict[str, Any]], puts: dict[str, Any]
) -> None:
    show = _show(width, cases)
    by_hand = _one_row(show, puts)
    assert judge(show, by_hand) == (), name
    plan = solve(show, 5.0)
    assert isinstance(plan, Plan)
    assert plan.lower_bound_um <= by_hand.floor_length_um
    assert not plan.proven or plan.floor_length_um <= by_hand.floor_length_um


def test_a_chain_of_bridges_is_found() -> None:
    _, width, cases, puts = HAND[2]
    show = _show(width, cases)
    plan = solve(show, 5.0)
    assert isinstance(plan, Plan)
    assert plan.floor_length_um == _one_row(show, puts).floor_length_um
    assert plan.proven


def test_drops_that_are_no_neighbours_share_no_row() -> None:
    one, other = {**BOX, "drop": 1}, {**BOX, "drop": 3}
    show = _show(60, {"A": one, "B": other})
    plan = solve(show, 5.0)
    assert isinstance(plan, Plan)
    assert plan.floor_length_um == 60 * IN
    assert plan.proven
