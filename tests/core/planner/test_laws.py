"""Laws of every plan: the judge finds nothing, bounds hold, the same input gives the same plan."""

from __future__ import annotations

from dataclasses import replace

import pytest

from server.core.judge import judge
from server.core.planner.construction.vehicle_sets import greedy_loads
from server.core.planner.problem.answer import NoPlan
from server.core.planner.problem.model import Task
from server.core.planner.solve import solve
from server.core.shop.plan import Plan
from server.core.shop.show import Show
from server.files.show_file import parse_show
from tests.bench.show_generator import make_show
from tests.core.planner.odd_shows import odd_show

pytestmark = pytest.mark.slow


def planned(show: Show, seconds: float = 1.0) -> Plan:
    answer = solve(show, seconds)
    return answer.best if isinstance(answer, NoPlan) else answer


@pytest.mark.untraced
@pytest.mark.parametrize("tens", range(20))
def test_every_plan_of_odd_shows_passes_the_judge(tens: int) -> None:
    for seed in range(10 * tens, 10 * tens + 10):
        show = parse_show(odd_show(seed))
        plan = planned(show, 0.4)
        assert judge(show, plan) == (), f"seed {seed}"
        assert plan.lower_bound_um <= plan.floor_length_um


@pytest.mark.parametrize("seed", range(12))
def test_every_better_plan_on_the_way_is_lawful_and_shorter(seed: int) -> None:
    show = parse_show(make_show(30, seed))
    heard: list[Plan] = []
    last = solve(show, 2.0, on_progress=heard.append)
    assert isinstance(last, Plan)
    lengths = [plan.floor_length_um for plan in heard]
    assert lengths == sorted(set(lengths), reverse=True)
    assert lengths[-1] == last.floor_length_um
    assert all(judge(show, plan) == () for plan in heard)


@pytest.mark.parametrize("seed", range(12))
def test_no_plan_is_longer_than_the_greedy_one(seed: int) -> None:
    show = parse_show(make_show(40, seed))
    loads, left = greedy_loads(Task.of(show), show.vehicles)
    assert not left
    assert planned(show).floor_length_um <= sum(load.length for load in loads)


@pytest.mark.parametrize("seed", range(6))
def test_the_same_input_and_seed_give_the_same_plan(seed: int) -> None:
    show = parse_show(make_show(20, seed))
    first, again = planned(show, 20.0), planned(show, 20.0)
    assert first.proven
    assert first == again


def test_enough_is_enough() -> None:
    show = parse_show(make_show(120, 2))
    plan = solve(show, 60.0, should_stop=lambda: True)
    assert isinstance(plan, Plan)
    assert judge(show, plan) == ()


def test_a_case_more_never_makes_proven_rows_shorter() -> None:
    show = parse_show(make_show(20, 1))
    fewer = replace(show, cases=show.cases[:-1])
    assert planned(fewer, 5.0).lower_bound_um <= planned(show, 5.0).floor_length_um


def test_nothing_to_load_is_a_plan_without_rows() -> None:
    show = replace(parse_show(make_show(20, 1)), cases=())
    plan = planned(show)
    assert (plan.vehicles, plan.floor_length_um, plan.left_out) == ((), 0, ())
