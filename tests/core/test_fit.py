"""The fit table agrees with the width and depth tables of the trade."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.core.base.units import to_um
from server.core.shop.case import Case
from server.core.shop.fit import fills, stretches, ways
from server.core.shop.vehicle import Narrow, Vehicle


def _inches(value: float) -> int:
    return to_um(value, "in", "down")


def _vehicle(width: float, length: float = 312, height: float = 96) -> Vehicle:
    return Vehicle("T1", _inches(width), _inches(length), _inches(height))


def _case(across: float, along: float, code: str = "AU-002-9", height: float = 30) -> Case:
    return Case(code, _inches(along), _inches(across), _inches(height), turn=False)


@pytest.mark.parametrize(
    ("width", "side", "stand", "left"),
    [
        # inside width against fractions of 90 and 96 in: common practice, no source
        (88, 22.5, 3, 20.5),
        (88, 30, 2, 28),
        (88, 45, 1, 43),
        (88, 24, 3, 16),
        (88, 48, 1, 40),
        (90, 22.5, 4, 0),
        (90, 30, 3, 0),
        (90, 45, 2, 0),
        (92, 22.5, 4, 2),
        (92, 30, 3, 2),
        (92, 45, 2, 2),
        (96, 22.5, 4, 6),
        (96, 30, 3, 6),
        (96, 45, 2, 6),
        (96, 24, 4, 0),
        (96, 32, 3, 0),
        (96, 48, 2, 0),
        (99, 24, 4, 3),
        (99, 48, 2, 3),
        (99, 22.5, 4, 9),
    ],
)
def test_as_many_stand_across_as_the_trade_says(
    width: float, side: float, stand: int, left: float
) -> None:
    (way,) = ways(_case(side, 30), _vehicle(width))
    assert (way.across, way.slack) == (stand, _inches(left))


@pytest.mark.parametrize(
    ("length", "depth", "rows"),
    [
        # rows that fit by depth, 16, 26 and 53 ft: common practice, no source
        (192, 22.5, 8),
        (192, 24, 8),
        (192, 30, 6),
        (192, 45, 4),
        (192, 60, 3),
        (312, 22.5, 13),
        (312, 24, 13),
        (312, 30, 10),
        (312, 45, 6),
        (312, 60, 5),
        (630, 22.5, 28),
        (630, 24, 26),
        (630, 30, 21),
        (630, 45, 14),
        (630, 60, 10),
    ],
)
def test_as_many_rows_stand_along_as_the_trade_says(length: float, depth: float, rows: int) -> None:
    (way,) = ways(_case(30, depth), _vehicle(96, length))
    assert way.rows == rows


def test_metric_quarters_fill_a_metric_width() -> None:
    # four of 60 cm in 240 cm: common practice, no source
    case = Case("AU-002-9", to_um(80, "cm"), to_um(60, "cm"), to_um(60, "cm"), turn=False)
    (way,) = ways(case, Vehicle("T1", to_um(240, "cm"), to_um(600, "cm"), to_um(230, "cm")))
    assert (way.across, way.slack) == (4, 0)


def test_turned_and_on_end_are_ways_of_their_own() -> None:
    case = Case("AU-002-9", _inches(45), _inches(22.5), _inches(30), stances=("upright", "on_end"))
    found = {(way.standing.across, way.standing.along) for way in ways(case, _vehicle(90))}
    assert found == {
        (_inches(22.5), _inches(45)),
        (_inches(45), _inches(22.5)),
        (_inches(30), _inches(22.5)),
        (_inches(22.5), _inches(30)),
    }


def test_a_case_taller_than_the_door_does_not_pass() -> None:
    truck = Vehicle("T1", _inches(90), _inches(192), _inches(84), door_height_um=_inches(78))
    (way,) = ways(_case(30, 30, height=80), truck)
    assert (way.passes, way.across) == (False, 0)


def test_equal_cases_stack_as_high_as_room_and_lid_allow() -> None:
    case = Case(
        "AU-002-9",
        _inches(45),
        _inches(30),
        _inches(24),
        mass_g=50_000,
        lid_load_g=60_000,
        lid_casters=True,
        turn=False,
    )
    (way,) = ways(case, _vehicle(90))
    assert way.high == 2


def test_what_fills_a_row_together_comes_first() -> None:
    cases = [_case(45, 30, "A"), _case(22.5, 30, "B"), _case(20, 30, "C")]
    best = fills(cases, _vehicle(90))[0]
    assert best.slack == 0
    assert sum(part.count * part.across for part in best.parts) == _inches(90)


@given(
    widths=st.lists(st.integers(15, 60), min_size=1, max_size=4, unique=True),
    room=st.integers(60, 100),
)
def test_no_row_called_full_has_room_for_one_more(widths: list[int], room: int) -> None:
    cases = [_case(width, 30, f"C{width}") for width in widths]
    for fill in fills(cases, _vehicle(room), most=0):
        used = sum(part.count * part.across for part in fill.parts)
        assert used + fill.slack == _inches(room)
        assert fill.slack < _inches(min(widths))


def test_wheel_boxes_are_a_stretch_of_their_own() -> None:
    narrow = (Narrow(_inches(100), _inches(140), _inches(84), _inches(12)),)
    truck = Vehicle("T1", _inches(96), _inches(312), _inches(96), narrow=narrow)
    whole, boxes = stretches(truck)
    assert (whole.width_um, boxes.width_um) == (_inches(96), _inches(84))
    assert ways(_case(30, 45), boxes)[0].across == 2  # 84 in: two of 30, 24 left
