"""Sequence: order of steps both ways, sides as the crew says them, the sheet in bundle form."""

from __future__ import annotations

from dataclasses import replace

import pytest

from server.core.base.figure import Figure
from server.core.crew.bundle import read_bundle
from server.core.crew.sheet import (
    Asked,
    Card,
    Hands,
    HeldBy,
    build_sheet,
    load_order,
    side_of,
    unload_order,
)
from server.core.night.state import as_json
from server.core.shop.case import Case
from server.core.shop.plan import Place, Row, VehiclePlan
from server.core.shop.vehicle import Vehicle

INCH = 25_400
TRUCK = Vehicle(
    id="T1", width_um=96 * INCH, length_um=312 * INCH, height_um=96 * INCH, driver_side="left"
)
MIRRORED = replace(TRUCK, driver_side="right")


def place(
    code: str, x: int, y: int, dx: int = 30, *, z: int = 0, on: tuple[str, ...] = ()
) -> Place:
    return Place(code, x * INCH, y * INCH, z * INCH, dx * INCH, 30 * INCH, 30 * INCH, on=on)


# Row 1: three across and a rider that bridges the first two. Row 2: two halves of different drops.
ROWS = (
    Row(
        1,
        0,
        30 * INCH,
        6 * INCH,
        1,
        (
            place("RIDER", 0, 0, 60, z=30, on=("LEFT", "MID")),
            place("RIGHT", 60, 0),
            place("MID", 30, 0),
            place("LEFT", 0, 0),
        ),
    ),
    Row(2, 30 * INCH, 30 * INCH, 6 * INCH, 1, (place("A", 0, 30, 45), place("B", 45, 30, 45))),
)
DROPS = {"A": 2, "B": 1, "LEFT": 3, "MID": 3, "RIGHT": 3, "RIDER": 3}


def test_loading_begins_at_the_bulkhead_and_the_driver_side_and_lids_come_last() -> None:
    assert load_order(TRUCK, ROWS[::-1]) == ("LEFT", "MID", "RIGHT", "RIDER", "A", "B")


def test_with_the_driver_on_the_right_a_row_begins_at_the_right() -> None:
    assert load_order(MIRRORED, ROWS) == ("RIGHT", "MID", "LEFT", "RIDER", "B", "A")


def test_unloading_begins_at_the_door_clears_lids_first_and_goes_by_drop() -> None:
    assert unload_order(TRUCK, ROWS, DROPS) == ("B", "A", "RIDER", "RIGHT", "MID", "LEFT")


def test_nothing_comes_off_before_what_stands_on_it_whatever_the_drop() -> None:
    order = unload_order(TRUCK, ROWS, {**DROPS, "LEFT": 1})
    assert order.index("RIDER") < order.index("LEFT") < order.index("RIGHT")


# x and width in inches of a 96 in floor, driver on the left → side
@pytest.mark.parametrize(
    ("x", "dx", "side", "mirrored"),
    [
        (0, 24, "driver", "kerb"),  # quarter by the wall
        (24, 24, "middle", "middle"),  # quarter beside it
        (72, 24, "kerb", "driver"),
        (0, 45, "driver", "kerb"),  # halves
        (45, 45, "kerb", "driver"),
        (30, 30, "middle", "middle"),  # the third in the middle
        (3, 90, "full", "full"),  # across the whole floor
        (0, 60, "driver", "kerb"),  # wide, and plainly to one side
    ],
)
def test_sides_are_said_by_thirds_of_the_width(x: int, dx: int, side: str, mirrored: str) -> None:
    one = place("X", x, 0, dx)
    assert (side_of(TRUCK, one), side_of(MIRRORED, one)) == (side, mirrored)


def test_a_sheet_is_what_the_bundle_carries() -> None:
    cases = {
        code: Case(code, 30 * INCH, 30 * INCH, 30 * INCH, mass_g=1000, drop=drop)
        for code, drop in DROPS.items()
    }
    straps = Figure(2, "straps", "a source", "2 because", "straps")
    asked = Asked(
        hold=lambda row: HeldBy(straps),
        hands=lambda one, case: Hands(3, 2 if one.on else 0, (Card("push", straps),)),
        slack_limit_um=3 * INCH,
    )
    plan = VehiclePlan("T1", ROWS, 60 * INCH, 6000)
    sheet = as_json(build_sheet(TRUCK, plan, cases, asked, mark=4))
    assert (sheet["mark"], sheet["mass_g"], sheet["floor_length_um"]) == (4, 6000, 60 * INCH)
    row = sheet["rows"][0]
    assert (row["straps"], row["why"]["derivation"]) == (2, "2 because")
    assert row["fill"]["value"] == 6 * INCH
    assert row["fill"]["derivation"] == "fill 6 in of slack because the owner's limit is 3 in"
    rider = row["places"][3]
    assert (rider["code"], rider["lift"], rider["push"], rider["on"]) == (
        "RIDER", 2, 3, ["LEFT", "MID"],
    )  # fmt: skip
    bundle = read_bundle(
        {
            "show": {"id": "s"},
            "revision": 1,
            "rules": {"slack_limit_um": None},
            "vehicles": [sheet],
            "cases": {},
            "checks": [],
            "walk": [],
        }
    )
    assert bundle.vehicles[0].load == ("LEFT", "MID", "RIGHT", "RIDER", "A", "B")


def test_slack_within_the_limit_needs_no_filling() -> None:
    asked = Asked(
        hold=lambda row: HeldBy(Figure(1, "straps", "", "")),
        hands=lambda one, case: Hands(1, 0),
        slack_limit_um=6 * INCH,
    )
    cases = {code: Case(code, INCH, INCH, INCH) for code in DROPS}
    sheet = build_sheet(TRUCK, VehiclePlan("T1", ROWS, 1, 0), cases, asked, mark=0)
    assert [row.fill for row in sheet.rows] == [None, None]
