"""Editing by hand: sums right again, everything else for the judge to say."""

from __future__ import annotations

import random

import pytest

from server.core.editing.editing import CannotEdit, Step, edited
from server.core.judge import judge
from server.core.planner.problem.answer import NoPlan
from server.core.planner.solve import solve
from server.core.shop.plan import Plan
from server.core.shop.show import Show
from server.files.show_file import read_show
from server.settings import ROOT

DEMO = ROOT / "fixtures" / "demo" / "show.json"
# What sums and lines the judge checks; an edit keeps them whatever it breaks.
SUMS = ("states a wrong slack", "does not begin where", "is numbered", "not as deep as",
        "not the sum of its vehicles", "does not stand against the line", "neither placed",
        "there twice", "states a mass", "states other axle")  # fmt: skip


@pytest.fixture(scope="module")
def show() -> Show:
    """Return the demo show."""
    return read_show(DEMO)


@pytest.fixture(scope="module")
def plan(show: Show) -> Plan:
    """Return a lawful plan of it."""
    found = solve(show, seconds=1.0)
    return found.best if isinstance(found, NoPlan) else found


def floor(plan: Plan, vehicle: int, row: int) -> list[str]:
    """Return the floor cases of a row from the left wall on."""
    places = [one for one in plan.vehicles[vehicle].rows[row - 1].places if not one.on]
    return [one.code for one in sorted(places, key=lambda one: one.x)]


def test_no_step_leaves_a_plan_as_it_was(show: Show, plan: Plan) -> None:
    after = edited(show, plan, [])
    assert after.floor_length_um == plan.floor_length_um
    assert judge(show, after) == judge(show, plan) == ()


def test_a_row_moved_within_its_vehicle_keeps_the_floor_length(show: Show, plan: Plan) -> None:
    one = plan.vehicles[0]
    step = Step("row", vehicle=one.vehicle, row=1, to_vehicle=one.vehicle, at=3)
    after = edited(show, plan, [step])
    assert after.floor_length_um == plan.floor_length_um
    assert {p.code for p in after.vehicles[0].rows[2].places} == {
        p.code for p in one.rows[0].places
    }
    assert not any(any(words in fault for words in SUMS) for fault in judge(show, after))


def test_a_stack_moved_to_a_row_of_its_own_takes_its_riders_along(show: Show, plan: Plan) -> None:
    rider = next(p for p in plan.vehicles[0].places() if len(p.on) == 1)
    step = Step("move", rider.on[0], plan.vehicles[0].vehicle, row=1, fresh=True)
    after = edited(show, plan, [step])
    first = after.vehicles[0].rows[0]
    assert {rider.code, rider.on[0]} <= {place.code for place in first.places}
    assert after.floor_length_um > plan.floor_length_um


def test_a_case_is_put_at_its_place_among_the_floor_cases(show: Show, plan: Plan) -> None:
    code, vehicle = floor(plan, 0, 1)[0], plan.vehicles[0].vehicle
    last = len(floor(plan, 0, 2))
    after = edited(show, plan, [Step("move", code, vehicle, row=2, at=last)])
    assert floor(after, 0, 2)[-1] == code
    after = edited(show, plan, [Step("move", code, vehicle, row=2, at=0)])
    assert floor(after, 0, 2)[0] == code


def test_what_goes_out_is_left_out_and_comes_in_again(show: Show, plan: Plan) -> None:
    code, vehicle = floor(plan, 0, 1)[0], plan.vehicles[0].vehicle
    out = edited(show, plan, [Step("out", code)])
    assert code in {one.code for one in out.left_out}
    back = edited(show, out, [Step("move", code, vehicle, row=1, at=0)])
    assert code in floor(back, 0, 1)


def test_a_turned_case_changes_the_depth_of_its_row(show: Show, plan: Plan) -> None:
    place = next(p for p in plan.vehicles[0].places() if not p.on and p.dx != p.dy)
    after = edited(show, plan, [Step("turn", place.code, turned=not place.turned)])
    turned = next(p for p in after.vehicles[0].places() if p.code == place.code)
    assert (turned.dx, turned.dy) == (place.dy, place.dx)


@pytest.mark.parametrize(
    "step",
    [
        Step("move", "NO-000-0", "T1", row=1),  # no such case
        Step("move", "RG-001-Q", "T9", row=1),  # no such vehicle
        Step("move", "RG-001-Q", "T1", row=99),  # no such row
        Step("row", vehicle="T1", row=0, at=1),  # rows count from 1
    ],
)
def test_a_step_into_nowhere_is_refused_in_words(show: Show, plan: Plan, step: Step) -> None:
    with pytest.raises(CannotEdit, match="expected"):
        edited(show, plan, [step])


@pytest.mark.parametrize("seed", range(12))
def test_any_steps_keep_every_sum_right_and_every_case_once(
    show: Show, plan: Plan, seed: int
) -> None:
    dice = random.Random(seed)
    now = plan
    for _ in range(8):
        vehicle = dice.choice(show.vehicles).id
        code = dice.choice(show.cases).code
        rows = next((len(one.rows) for one in now.vehicles if one.vehicle == vehicle), 0)
        step = dice.choice(
            [
                Step("move", code, vehicle, row=dice.randint(1, rows + 1), at=dice.randint(0, 3)),
                Step("move", code, vehicle, row=dice.randint(1, rows + 1), fresh=True),
                Step("row", vehicle=vehicle, row=max(1, rows), to_vehicle="T1", at=1),
                Step("out", code),
            ]
        )
        try:
            now = edited(show, now, [step])
        except CannotEdit:
            continue
        wrong = [f for f in judge(show, now) if any(words in f for words in SUMS)]
        assert not wrong, (seed, step, wrong)
