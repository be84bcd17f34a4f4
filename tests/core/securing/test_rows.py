"""Straps of a whole plan: which rows each line holds, equipment on board, slack to fill."""

from __future__ import annotations

from server.core.base.units import to_g, to_um
from server.core.securing.rows import equipment, straps_for_vehicle
from server.core.securing.slack import Filler, fill, slack_figure
from server.core.shop.case import Case
from server.core.shop.plan import Place, Row, VehiclePlan
from server.core.shop.show import Rules, Show
from server.core.shop.vehicle import Straps, Vehicle

IN = to_um(1, "in")


def load(
    pounds: list[float], straps: list[int], *, count: int = 14, gaps: dict[int, int] | None = None
) -> tuple[Show, Vehicle, VehiclePlan]:
    """Return a truck of rows 30 in deep with one case each, of these weights and strap lines."""
    cases = tuple(
        Case(f"C-{n}", 30 * IN, 90 * IN, 40 * IN, mass_g=to_g(mass, "lb"))
        for n, mass in enumerate(pounds, 1)
    )
    vehicle = Vehicle(
        "T1", 96 * IN, 312 * IN, 96 * IN, straps=Straps(count, to_g(1000, "lb", "down"))
    )
    rows, start = [], 0
    for number, case in enumerate(cases, 1):
        start += (gaps or {}).get(number, 0)
        place = Place(case.code, 0, start, 0, 90 * IN, 30 * IN, 40 * IN)
        rows.append(Row(number, start, 30 * IN, 6 * IN, straps[number - 1], (place,)))
        start += 30 * IN
    show = Show("S", (vehicle,), cases, rules=Rules(straps_min=1))
    plan = VehiclePlan("T1", tuple(rows), start, sum(case.mass_g for case in cases))
    return show, vehicle, plan


def test_a_line_holds_its_row_and_the_unstrapped_rows_ahead_of_it() -> None:
    hold = straps_for_vehicle(*load([800, 900, 700, 1000], [0, 1, 0, 1]))
    assert [row.holds for row in hold.rows] == [(), (1, 2), (), (3, 4)]
    assert [row.held_by for row in hold.rows] == [2, None, 4, None]
    # 1,700 lb each by straps of 1,000 lb: half of 1,700 lb needs one (393.106)
    assert [row.needed for row in hold.rows] == [0, 1, 0, 1]


def test_one_line_for_two_heavy_rows_takes_more_straps() -> None:
    # 49 CFR 393.106: half of 2,400 lb is 1,200 lb, two straps of 1,000 lb
    hold = straps_for_vehicle(*load([1200, 1200], [0, 1]))
    assert hold.row(2).needed == 2


def test_the_last_row_always_has_a_line() -> None:
    hold = straps_for_vehicle(*load([300, 300], [0, 0]))
    assert hold.row(2).holds == (1, 2)
    assert hold.row(2).needed == 1


def test_rows_tight_from_the_bulkhead_are_blocked_and_a_gap_ends_that() -> None:
    # 49 CFR 393.110: 1,800 lb unblocked takes two, blocked one
    tight = straps_for_vehicle(*load([1800, 1800], [1, 1]))
    gap = straps_for_vehicle(*load([1800, 1800], [1, 1], gaps={2: 20 * IN}))
    assert [row.needed for row in tight.rows] == [1, 1]
    assert [row.needed for row in gap.rows] == [1, 2]


def test_a_plan_that_needs_more_straps_than_there_are_says_so() -> None:
    hold = straps_for_vehicle(*load([1800] * 4, [1] * 4, count=3))
    assert (hold.needed, hold.on_board, hold.short) == (4, 3, 1)
    assert "3 on board: 1 short" in equipment(hold).derivation


def test_bars_for_wide_slack_are_counted_against_those_on_board() -> None:
    # 6 in of slack is over the 15 cm of voids that the CTU Code allows (inf. material 5, 1.1.3)
    hold = straps_for_vehicle(*load([300, 300], [1, 1]))
    assert hold.bars_needed == 2
    assert "2 bars for slack too wide for pads, 0 on board: 2 short" in equipment(hold).derivation


def test_nobody_said_how_many_straps_is_not_a_shortage() -> None:
    show, vehicle, plan = load([1800], [1])
    bare = Vehicle("T1", vehicle.width_um, vehicle.length_um, vehicle.height_um)
    hold = straps_for_vehicle(show, bare, plan)
    assert hold.short == 0
    assert "not known" in equipment(hold).derivation


def test_slack_over_the_owners_limit_is_named_with_what_fills_it() -> None:
    hold = straps_for_vehicle(*load([300], [1]))
    assert hold.rows[0].slack.detail("must_fill") is True
    assert hold.rows[0].fill == ("a bar across and 6 in of pads, soft bags or plywood on edge",)


def test_fillers_on_board_are_named_first_and_thickest_first() -> None:
    fillers = (Filler("pad", 2 * IN, 5), Filler("hamper", 4 * IN))
    assert fill(7 * IN, 3 * IN, fillers) == ("1 x hamper",)
    assert fill(10 * IN, 1 * IN, fillers) == ("1 x hamper", "3 x pad")


def test_slack_within_the_limit_needs_nothing() -> None:
    assert fill(3 * IN, 3 * IN) == ()
    assert slack_figure(3 * IN, 3 * IN).detail("must_fill") is False
    # CTU Code, informative material 5, 1.1.3: voids of 15 cm at most, whatever the owner says
    assert slack_figure(150_001, 10**6).detail("must_fill") is True
