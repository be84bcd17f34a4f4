"""A rule between two cases, added by the recipe of the planner's README, is searched for."""

from __future__ import annotations

import random
from typing import Any

import pytest

from server.core.judge import judge
from server.core.planner.problem.answer import NoPlan
from server.core.planner.solve import solve
from server.core.shop.plan import Plan
from server.files.plan_file import write_plan
from server.files.show_file import parse_show
from tests.bench.show_generator import make_show
from tests.oracle.compare import FALSE, compare
from tests.oracle.second_judge import second_judge

IN = 25_400
TRUNK = {"length": 45, "width": 30, "height": 30, "turn": False, "mass": 300}


def trunks(beside: dict[str, list[str]], length: float = 200) -> dict[str, Any]:
    """Return a show of three trunks that fill a row of 90 in, and who stands beside whom never."""
    return {
        "format": "rowcall-show-1",
        "vehicles": [{"id": "T", "width": 90, "length": length, "height": 90}],
        "cases": [
            {"code": code, **TRUNK, **({"never_beside": beside[code]} if code in beside else {})}
            for code in "ABC"
        ],
    }


def test_a_third_case_stands_between_two_that_never_stand_side_by_side() -> None:
    show = parse_show(trunks({"A": ["B"]}, length=45))
    plan = solve(show, 1.0)
    assert isinstance(plan, Plan)
    ranked = sorted(plan.vehicles[0].places(), key=lambda place: place.x)
    assert ranked[1].code == "C"
    assert plan.floor_length_um == 45 * IN


def test_either_of_two_names_the_other_and_a_row_more_is_taken_where_nothing_else_helps() -> None:
    for beside in ({"A": ["B", "C"], "B": ["C"]}, {"B": ["A"], "C": ["A", "B"]}):
        plan = solve(parse_show(trunks(beside)), 1.0)
        assert isinstance(plan, Plan)
        assert plan.floor_length_um == 3 * 45 * IN
        short = solve(parse_show(trunks(beside, length=90)), 1.0)
        assert isinstance(short, NoPlan)


@pytest.mark.parametrize("seed", range(8))
def test_small_shows_have_no_false_answer(seed: int) -> None:
    assert compare(seed, 1.0, kind="never beside").verdict not in FALSE


@pytest.mark.parametrize("seed", range(3))
def test_larger_shows_are_planned_with_neighbours_that_agree(seed: int) -> None:
    document, draw = make_show(30, seed), random.Random(seed)
    for case in draw.sample(document["cases"], 8):
        others = [one["code"] for one in document["cases"] if one is not case]
        case["never_beside"] = draw.sample(others, 3)
    show = parse_show(document)
    plan = solve(show, 3.0)
    assert isinstance(plan, Plan)
    assert judge(show, plan) == ()
    assert second_judge(document, write_plan(plan, show.units)) == []
