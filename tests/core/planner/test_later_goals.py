"""Later goals that cost no floor: straight rows, equal cases together, heavy low, low lifts."""

from __future__ import annotations

import random
from collections.abc import Sequence
from itertools import permutations
from typing import Any

import pytest

from server.core.judge import judge
from server.core.planner.improvement import finisher as solving
from server.core.planner.improvement.heavy_low import lower_heavy
from server.core.planner.improvement.straighten import straighten
from server.core.planner.problem.answer import NoPlan
from server.core.planner.problem.model import Load
from server.core.planner.problem.plan_writer import make_plan
from server.core.planner.solve import solve
from server.core.shop.plan import Place, Plan
from server.core.shop.show import Show
from server.files.show_file import parse_show
from tests.bench.show_generator import make_show, make_tour
from tests.core.planner.odd_shows import odd_show

IN = 25_400


def planned(show: Show, seconds: float = 2.0) -> Plan:
    answer = solve(show, seconds)
    return answer.best if isinstance(answer, NoPlan) else answer


def lifted(show: Show, plan: Plan) -> int:
    """Return the sum of mass times height of the underside over all cases."""
    return sum(
        show.case(place.code).mass_g * place.z for one in plan.vehicles for place in one.places()
    )


def ragged(plan: Plan) -> int:
    """Return how many rows have a stack that ends before the row's line."""
    return sum(
        any(place.dy < row.depth for place in row.places if not place.on)
        for one in plan.vehicles
        for row in one.rows
    )


def as_it_is(load: Load, *rules: object) -> Load:
    """Leave a load as the search found it."""
    del rules
    return load


def shows() -> list[dict[str, Any]]:
    some = [make_show(20, seed) for seed in range(4)] + [make_tour(40, seed) for seed in range(3)]
    return some + [odd_show(seed) for seed in (3, 8, 14, 21, 33, 40, 58, 66, 71, 90)]


@pytest.mark.parametrize("number", range(17))
def test_later_goals_gain_and_cost_no_floor(number: int, monkeypatch: pytest.MonkeyPatch) -> None:
    show = parse_show(shows()[number])
    loads: list[tuple[Load, Load, Load]] = []

    def straight(load: Load) -> Load:
        loads.append((load, straighten(load), lower_heavy(straighten(load), show.rules)))
        return loads[-1][1]

    monkeypatch.setattr(solving, "straighten", straight)
    plan = planned(show)
    assert judge(show, plan) == ()
    assert loads
    for before, straightened, after in loads:
        assert before.length == straightened.length == after.length
        plans = [make_plan([one], 0) for one in (before, straightened, after)]
        assert ragged(plans[1]) <= ragged(plans[0])
        assert ragged(plans[2]) == ragged(plans[1])
        assert lifted(show, plans[2]) <= lifted(show, plans[1])


def show_of(cases: list[dict[str, Any]], **rules: Any) -> Show:
    vehicle = {"id": "T", "width": 92, "length": 400, "height": 96}
    return parse_show(
        {"format": "rowcall-show-1", "rules": rules, "vehicles": [vehicle], "cases": cases}
    )


def test_the_heavier_case_is_below_where_either_order_is_lawful() -> None:
    cases = [
        {"code": f"C{i}", "length": 90, "width": 45, "height": 30, "mass": mass, "lid_load": 900,
         "lid_casters": True, "drop": 1}
        for i, mass in enumerate((100, 300, 200))
    ]  # fmt: skip
    # What makes them different to the search: one lid bears less, another takes another name.
    cases[0]["lid_load"] = 950
    show = show_of(cases)
    plan = planned(show)
    height = {place.code: place.z // IN for place in plan.vehicles[0].places()}
    assert height == {"C1": 0, "C2": 30, "C0": 60}


def test_a_lid_that_does_not_bear_the_lighter_one_keeps_its_place_on_top() -> None:
    cases = [
        {"code": "light", "length": 90, "width": 45, "height": 30, "mass": 100, "lid_load": 400,
         "lid_casters": True},
        {"code": "heavy", "length": 90, "width": 45, "height": 30, "mass": 300, "lid_load": 50,
         "lid_casters": True},
    ]  # fmt: skip
    show = show_of(cases)
    plan = planned(show)
    assert {place.code: place.z // IN for place in plan.vehicles[0].places()} == {
        "light": 0,
        "heavy": 30,
    }


def test_heavy_riders_go_on_low_lids_and_light_ones_on_high_lids() -> None:
    cases: list[dict[str, Any]] = [
        {"code": f"H{height}", "length": 90, "width": 45, "height": height, "mass": 300,
         "lid_load": 200}
        for height in (24, 36)
    ]  # fmt: skip
    cases += [
        {"code": f"R{mass}", "length": 88, "width": 44, "height": 12, "mass": mass, "rides": True}
        for mass in (60, 140)
    ]
    show = show_of(cases, lift_top=60, rider_mass=150)
    plan = planned(show)
    on = {place.code: place.on for place in plan.vehicles[0].places() if place.on}
    assert on == {"R140": ("H24",), "R60": ("H36",)}


def test_a_rider_goes_on_the_lower_of_two_free_lids() -> None:
    cases: list[dict[str, Any]] = [
        {"code": f"H{height}", "length": 90, "width": 45, "height": height, "mass": 300,
         "lid_load": 200}
        for height in (36, 24)
    ]  # fmt: skip
    cases.append({"code": "R", "length": 80, "width": 40, "height": 12, "mass": 90, "rides": True})
    plan = planned(show_of(cases, lift_top=60, rider_mass=150))
    assert {place.on for place in plan.vehicles[0].places() if place.on} == {("H24",)}


def test_equal_cases_stand_in_one_row_where_that_costs_nothing() -> None:
    # Racks and trunks of one footprint, called in turn.
    cases = [
        {"code": f"C{i}", "name": ("rack", "trunk")[i % 2], "length": 45, "width": 22.5,
         "height": 30, "mass": 200, "turn": False}
        for i in range(8)
    ]  # fmt: skip
    show = show_of(cases)
    plan = planned(show)
    rows = [[show.case(p.code).name for p in row.places] for row in plan.vehicles[0].rows]
    assert sorted(rows) == [["rack"] * 4, ["trunk"] * 4]


@pytest.mark.parametrize("seed", range(8))
def test_turning_one_row_more_does_not_even_out_the_sides(seed: int) -> None:
    draw = random.Random(seed)
    cases = [
        {"code": f"C{i}", "length": 45, "width": draw.choice((22.5, 30)), "height": 30,
         "mass": draw.randrange(50, 600, 5), "turn": False}
        for i in range(14)
    ]  # fmt: skip
    show = show_of(cases)
    rows = [
        [(place.dx, show.case(place.code).mass_g) for place in sorted(row.places, key=_across)]
        for row in planned(show).vehicles[0].rows
    ]

    def tip(row: Sequence[tuple[int, int]]) -> float:
        """Return the moment of a row about the middle of the floor; it starts at the left wall."""
        x, moment = 0.0, 0.0
        for dx, mass in row:
            moment += mass * (x + dx / 2 - 46 * IN)
            x += dx
        return moment

    whole = sum(map(tip, rows))
    for row in rows:
        for other in permutations(row):
            assert abs(whole - tip(row) + tip(other)) >= abs(whole) - 1


def _across(place: Place) -> int:
    return place.x
