"""Facts of the trade in rows: what stands across 60, 88, 90 and 96 in (common practice, no source).

Lengths in inches. The widths are those of American box trucks and trailers.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from server.core.advisor.fleet_rows import Direction, FleetRows, fleet_rows
from server.core.advisor.floor import floor_of, vehicles_needed
from server.core.shop.case import Case
from server.core.shop.show import Rules
from server.core.shop.vehicle import Narrow, Vehicle

INCH = 25_400
RULES = Rules()


def _vehicle(width: float, length: float = 312) -> Vehicle:
    return Vehicle(f"W{width:g}", int(width * INCH), int(length * INCH), 96 * INCH)


def _cases(
    count: int, length: float, width: float, code: str = "A", height: float = 60
) -> list[Case]:
    sides = (round(length * INCH), round(width * INCH), round(height * INCH))
    return [Case(f"{code}{number}", *sides, name=code) for number in range(count)]


def _ways(rows: FleetRows, kind: int = 0) -> dict[float, Direction]:
    return {way.across_um / INCH: way for way in rows.kinds[kind].directions}


def _alone(count: int, length: float, width: float, across: float) -> dict[float, Direction]:
    return _ways(fleet_rows(_cases(count, length, width), _vehicle(across), RULES))


def test_48_by_24_takes_the_same_floor_both_ways_in_96() -> None:
    ways = _alone(8, 48, 24, 96)
    assert (ways[48].count, ways[24].count) == (2, 4)
    assert ways[48].floor_each_um == ways[24].floor_each_um == Fraction(12 * INCH)
    assert (ways[48].pack, ways[24].pack) == ("half", "quarter")
    assert (ways[48].full_rows, ways[24].full_rows) == (4, 2)


def test_45_by_24_stands_two_across_90_and_four_rows_deep() -> None:
    ways = _alone(8, 45, 24, 90)
    assert (ways[45].count, ways[45].slack_um, ways[45].pack) == (2, 0, "half")
    assert (ways[45].full_rows, ways[45].orphans) == (4, 0)  # four rows of 24 in: 96 in deep
    assert (ways[24].count, ways[24].slack_um, ways[24].pack) == (3, 18 * INCH, "")
    floor = floor_of(_cases(8, 45, 24), _vehicle(90), RULES)
    assert floor is not None
    assert (floor.low_um, floor.high_um) == (96 * INCH, 96 * INCH)


def test_30_by_19_stands_three_across_96_and_three_across_60_turned() -> None:
    assert _alone(6, 30, 19, 96)[30].count == 3
    turned = _alone(6, 30, 19, 60)[19]
    assert (turned.count, turned.slack_um, turned.pack) == (3, 3 * INCH, "third")


@pytest.mark.parametrize(
    ("side", "count", "width"),
    [(22.5, 4, 90), (30, 3, 90), (45, 2, 90), (32, 3, 96), (24, 4, 96)],
)
def test_a_pack_width_fills_the_width(side: float, count: int, width: float) -> None:
    way = _alone(count, 50, side, width)[side]
    assert (way.count, way.slack_um, way.full_rows, way.orphans) == (count, 0, 1, 0)


@pytest.mark.parametrize(("side", "count"), [(22.5, 4), (30, 3), (45, 2)])
def test_no_row_of_90_stands_at_88(side: float, count: int) -> None:
    way = _alone(count, 50, side, 88)[side]
    assert (way.count, way.pack) == (count - 1, "")
    assert (way.full_rows, way.orphans) == divmod(count, count - 1)


def test_a_rack_6_in_deeper_costs_6_in_a_row_and_not_6_in_a_rack() -> None:
    shallow, deep = (floor_of(_cases(8, depth, 24), _vehicle(96), RULES) for depth in (30, 36))
    assert shallow is not None
    assert deep is not None
    # two rows of four: 60 in and 72 in
    assert (shallow.high_um, deep.high_um) == (60 * INCH, 72 * INCH)
    assert shallow.proven
    assert deep.proven


def test_another_kind_fills_the_rest_of_the_width() -> None:
    cases = [*_cases(2, 45, 30, "wide"), *_cases(2, 45, 15, "slim")]
    rows = fleet_rows(cases, _vehicle(90), RULES)
    best = _ways(rows)[30].partners[0]
    assert (best.kind, best.count, best.others, best.slack_um) == (1, 2, 2, 0)
    assert rows.floor.high_um == 45 * INCH
    assert rows.used == 1


def test_one_case_over_is_an_orphan_and_costs_a_row() -> None:
    straight = [replace(case, turn=False) for case in _cases(4, 45, 30)]
    rows = fleet_rows(straight, _vehicle(90), RULES)
    assert (_ways(rows)[30].full_rows, _ways(rows)[30].orphans) == (1, 1)
    # by area 60 in; rows of three and of one: 45 + 45
    assert (rows.least_um, rows.floor.high_um) == (60 * INCH, 90 * INCH)
    assert rows.used == Fraction(2, 3)
    # turned they stand two and two: 30 + 30
    free = fleet_rows(_cases(4, 45, 30), _vehicle(90), RULES)
    assert free.used == 1


def test_the_floor_that_each_kind_costs_adds_up_to_the_bound() -> None:
    cases = [*_cases(6, 45, 30, "A"), *_cases(4, 40, 22.5, "B"), *_cases(3, 33, 29, "C")]
    floor = floor_of(cases, _vehicle(90), RULES)
    assert floor is not None
    total = sum(worth for _, worth in floor.worth)
    assert floor.low_um - 45 * INCH < total <= floor.low_um + 1
    assert floor.low_um <= floor.high_um


def test_wheel_boxes_widen_the_interval_and_never_the_promise() -> None:
    free = _vehicle(96)
    boxed = Vehicle("B", 96 * INCH, 312 * INCH, 96 * INCH, narrow=(
        Narrow(100 * INCH, 140 * INCH, 84 * INCH, 12 * INCH),
    ))  # fmt: skip
    clear, tight = (floor_of(_cases(8, 48, 30), one, RULES) for one in (free, boxed))
    assert clear is not None
    assert tight is not None
    assert tight.low_um <= clear.high_um <= tight.high_um


def test_what_fits_nowhere_has_no_direction_and_no_floor() -> None:
    rows = fleet_rows([*_cases(1, 100, 97, "big"), *_cases(2, 45, 30)], _vehicle(90), RULES)
    assert rows.kinds[0].directions == ()
    assert floor_of(_cases(1, 100, 97), _vehicle(90), RULES) is None


def test_vehicles_are_counted_by_rows_and_by_mass() -> None:
    cases = [Case(f"M{n}", 45 * INCH, 45 * INCH, 30 * INCH, mass_g=400_000) for n in range(8)]
    vehicle = Vehicle("V", 90 * INCH, 100 * INCH, 80 * INCH, payload_g=1_500_000)
    floor = floor_of(cases, vehicle, RULES)
    assert floor is not None
    assert floor.high_um == 180 * INCH
    # two rows of 45 in stand in 100 in, and 4 cases of 400 kg are 1,600 kg: one row a vehicle
    assert vehicles_needed(floor, vehicle, 3_200_000) == (3, 4)


def test_the_planner_narrows_an_interval_that_riders_leave_open() -> None:
    lids = [replace(case, lid_load_g=500_000) for case in _cases(2, 45, 45, "lid", 30)]
    riders = [replace(case, rides=True) for case in _cases(5, 45, 45, "rider", 20)]
    quick = floor_of([*lids, *riders], _vehicle(90), RULES)
    narrow = floor_of([*lids, *riders], _vehicle(90), RULES, planned=5)
    assert quick is not None
    assert narrow is not None
    # two ride, three stand on the floor; the quick bound leaves out whatever may ride
    assert (quick.low_um, quick.high_um) == (45 * INCH, 135 * INCH)
    assert (narrow.low_um, narrow.high_um) == (135 * INCH, 135 * INCH)
