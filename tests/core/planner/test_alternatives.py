"""Floor against ease, and room for error: every plan lawful, every choice a strict improvement."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from typing import Any

import pytest

from server.core.judge import judge
from server.core.planner.alternatives.choices import alternatives
from server.core.planner.alternatives.tolerance import hardened, plan_robust
from server.core.planner.problem.answer import NoPlan
from server.files.plan_file import write_plan
from server.files.show_file import parse_show
from tests.bench.show_generator import make_show
from tests.oracle.second_judge import second_judge

IN = 25_400


@pytest.mark.parametrize("seed", range(3))
def test_each_choice_takes_more_floor_and_fewer_lifts(seed: int) -> None:
    document = make_show(20, seed)
    show = parse_show(document)
    found = alternatives(show, 4, seconds=4.0)
    assert not isinstance(found, NoPlan)
    for one, other in pairwise(found):
        assert one.plan.floor_length_um < other.plan.floor_length_um
        assert one.effort.total > other.effort.total
        assert not other.plan.proven
    for one in found:
        assert second_judge(document, write_plan(one.plan, show.units)) == []
    assert len(found) > 1  # riders of the generator save floor
    assert found[-1].effort.lifts < found[0].effort.lifts


def two_trunks(width: float, **more: Any) -> dict[str, Any]:
    """Return a show of two trunks 45 in wide that close a row of 90 in exactly."""
    trunk = {"length": 30, "width": 45, "height": 30, "turn": False, "mass": 400}
    return {
        "format": "rowcall-show-1",
        "vehicles": [{"id": "T", "width": width, "length": 200, "height": 90, **more}],
        "cases": [{"code": code, **trunk} for code in "AB"],
    }


def test_room_for_error_opens_a_row_that_depends_on_exact_sides_and_says_what_it_costs() -> None:
    made = plan_robust(parse_show(two_trunks(90)), seconds=1.0)
    assert made.tight == (("T", 1),)
    assert (made.plain.floor_length_um, made.plan.floor_length_um) == (30 * IN, 60 * IN)
    assert made.cost_um == 30 * IN
    assert made.faults == ()
    wide = plan_robust(parse_show(two_trunks(90.5)), seconds=1.0)
    assert (wide.tight, wide.cost_um) == ((), 0)


def test_a_mass_that_nobody_weighed_counts_a_tenth_more() -> None:
    show = parse_show(two_trunks(96, payload=850))
    assert plan_robust(show, seconds=1.0).refusal is not None
    weighed = replace(show, cases=tuple(replace(one, weighed=True) for one in show.cases))
    assert plan_robust(weighed, seconds=1.0).refusal is None


@pytest.mark.parametrize("seed", range(3))
def test_a_robust_plan_is_lawful_as_stated_and_with_its_errors(seed: int) -> None:
    show = parse_show(make_show(20, seed))
    made = plan_robust(show, seconds=2.0)
    assert made.faults == ()
    assert made.cost_um is not None
    assert made.cost_um >= 0 or not made.plain.proven
    assert min(row.slack for one in made.plan.vehicles for row in one.rows) >= 12_700
    heavier = hardened(replace(show, vehicles=show.vehicles), 0, 0.1)
    faults = judge(heavier, made.plan)
    assert not [text for text in faults if "the sum of its cases" not in text]
