"""Rows kept anywhere: whole to the micrometre across, near their old place, the rest planned."""

from __future__ import annotations

import random
from collections.abc import Iterable

import pytest

from server.core.editing.kept_rows import with_kept
from server.core.judge import judge
from server.core.planner.problem.answer import NoPlan
from server.core.planner.solve import solve
from server.core.shop.case import Case
from server.core.shop.plan import Place, Plan, Row, VehiclePlan
from server.core.shop.show import Show
from server.core.shop.vehicle import Vehicle
from server.files.show_file import read_show
from server.settings import ROOT

IN = 25_400


@pytest.fixture(scope="module")
def show() -> Show:
    """Return the demo show."""
    return read_show(ROOT / "fixtures" / "demo" / "show.json")


def rest(part: Show) -> Plan:
    """Plan what is not kept."""
    found = solve(part, seconds=0.6)
    return found.best if isinstance(found, NoPlan) else found


@pytest.fixture(scope="module")
def plan(show: Show) -> Plan:
    """Return a lawful plan of the demo."""
    return rest(show)


def across(row: Row) -> set[tuple[object, ...]]:
    """Return where the cases of a row stand, but for the row's own place along the vehicle."""
    return {(p.code, p.x, p.y - row.start, p.z, p.dx, p.dy, p.dz, p.on) for p in row.places}


def rows_of(plan: Plan, vehicle: str) -> list[Row]:
    return [row for one in plan.vehicles if one.vehicle == vehicle for row in one.rows]


def kept_whole(before: Plan, after: Plan, kept: dict[str, Iterable[int]]) -> bool:
    """Tell whether every kept row stands somewhere in its vehicle as it was."""
    return all(
        across(row) in [across(now) for now in rows_of(after, vehicle)]
        for vehicle, numbers in kept.items()
        for row in rows_of(before, vehicle)
        if row.number in set(numbers)
    )


@pytest.mark.parametrize("seed", range(4))
def test_any_rows_are_kept_whole_and_the_plan_stays_lawful(
    show: Show, plan: Plan, seed: int
) -> None:
    dice = random.Random(seed)
    kept: dict[str, Iterable[int]] = {
        one.vehicle: sorted(dice.sample(range(1, len(one.rows) + 1), min(3, len(one.rows))))
        for one in plan.vehicles
    }
    after, _ = with_kept(show, plan, {v: set(n) for v, n in kept.items()}, rest)
    assert kept_whole(plan, after, kept)
    codes = sorted([p.code for one in after.vehicles for p in one.places()]
                   + [one.code for one in after.left_out])  # fmt: skip
    assert codes == sorted(case.code for case in show.cases)
    if not after.left_out:
        assert judge(show, after) == ()


def test_the_row_at_the_door_stays_the_row_at_the_door(show: Show, plan: Plan) -> None:
    vehicle = plan.vehicles[0].vehicle
    last = len(plan.vehicles[0].rows)
    after, words = with_kept(show, plan, {vehicle: {last}}, rest)
    assert kept_whole(plan, after, {vehicle: {last}})
    moved = next(row.number for row in rows_of(after, vehicle)
                 if across(row) == across(rows_of(plan, vehicle)[-1]))  # fmt: skip
    # the rest may need more or fewer rows ahead of it, and then that is said
    assert (moved == last) == (words == ())


def by_hand(drops: list[tuple[int, ...]]) -> tuple[Show, Plan]:
    """Return rows of two cases each with these drops, bulkhead first, as a show and its plan."""
    truck = Vehicle("T1", 90 * IN, 300 * IN, 96 * IN)
    cases, rows = [], []
    for number, pair in enumerate(drops, start=1):
        places = []
        for side, drop in enumerate(pair):
            code = f"C{number}{side}"
            cases.append(Case(code, 45 * IN, 45 * IN, 30 * IN, drop=drop))
            at = (side * 45 * IN, (number - 1) * 45 * IN, 0)
            places.append(Place(code, *at, 45 * IN, 45 * IN, 30 * IN))
        rows.append(Row(number, (number - 1) * 45 * IN, 45 * IN, 0, 1, tuple(places)))
    floor = 45 * IN * len(rows)
    one = VehiclePlan("T1", tuple(rows), floor, 0, None, None)
    return Show("by hand", (truck,), tuple(cases)), Plan((one,), floor, floor, True)


def test_a_kept_row_of_two_drops_stands_between_the_rows_of_both() -> None:
    show, plan = by_hand([(3, 3), (3, 2), (2, 2), (2, 1), (1, 1)])
    assert judge(show, plan) == ()
    for kept in ({2}, {4}, {2, 4}, {3, 5}, {1, 4}):
        after, _ = with_kept(show, plan, {"T1": kept}, rest)
        assert judge(show, after) == (), kept
        assert kept_whole(plan, after, {"T1": kept}), kept
        assert after.left_out == () and after.floor_length_um == plan.floor_length_um


def test_a_kept_row_that_no_longer_fits_is_left_out_and_said() -> None:
    show, plan = by_hand([(1, 1), (1, 1)])
    long = Case("LONG", 240 * IN, 45 * IN, 30 * IN, turn=False, near="bulkhead")
    after, words = with_kept(
        Show("by hand", show.vehicles, (*show.cases, long)), plan, {"T1": {2}}, rest
    )
    placed = {p.code for one in after.vehicles for p in one.places()}
    out = {one.code for one in after.left_out}
    assert placed | out == {case.code for case in show.cases} | {"LONG"}
    whole = {"C20", "C21"}
    assert whole <= placed or (whole <= out and words == ("row 2 of T1 finds no place any more",))


def test_a_kept_row_takes_the_number_it_had_where_the_order_leaves_it() -> None:
    show, plan = by_hand([(1, 1), (1, 1), (1, 1), (1, 1)])
    after, words = with_kept(show, plan, {"T1": {3}}, rest)
    assert words == ()
    assert across(rows_of(after, "T1")[2]) == across(rows_of(plan, "T1")[2])
