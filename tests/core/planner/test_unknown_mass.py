"""A case of no stated mass counts as heavy as its size allows wherever that lets a plan be."""

from __future__ import annotations

from typing import Any

from server.core.judge import judge
from server.core.judge.at_worst import lids_at_worst
from server.core.planner.problem.answer import NoPlan
from server.core.planner.replanning.restated import restated
from server.core.planner.solve import solve
from server.core.planner.unknown_mass import heaviest
from server.core.shop.plan import Plan
from server.files.show_file import parse_show
from tests.core.planner.test_refuse import case, show


def unknown(code: str, **given: Any) -> dict[str, Any]:
    one = case(code, **given)
    del one["mass"]
    return one


def low(code: str, **given: Any) -> dict[str, Any]:
    return unknown(code, length=24, width=24, height=18, rides=True, **given)


def test_a_rider_that_nobody_weighed_stands_on_the_floor_while_there_is_floor() -> None:
    # 24 x 24 x 18 in at 500 kg a cubic metre are 187 lb: more than hands lift by the house rules.
    hosts = [case(f"H{i}", lid_load=500) for i in range(3)]
    document = parse_show(show([*hosts, low("R0"), low("R1")]))
    plan = solve(document, 20.0)
    assert isinstance(plan, Plan)
    assert judge(document, plan) == ()
    assert all(not place.on for place in plan.vehicles[0].places())
    assert lids_at_worst(document, plan) == ()
    # The bound is that of every lawful plan, and with 0 lb a shorter one is lawful.
    assert not plan.proven
    assert plan.lower_bound_um < plan.floor_length_um


def test_where_only_the_stated_masses_let_it_load_the_plan_asks_to_weigh() -> None:
    hosts = [case(f"H{i}", lid_load=500) for i in range(3)]
    document = parse_show(show([*hosts, low("R0"), low("R1")], length=46))
    plan = solve(document, 20.0)
    assert isinstance(plan, Plan)
    assert judge(document, plan) == ()
    assert sum(bool(place.on) for place in plan.vehicles[0].places()) == 2
    asked = lids_at_worst(document, plan)
    assert any("R0 rides but is too heavy" in line for line in asked), asked
    assert all(line.endswith("weigh first") for line in asked)


def test_two_vehicles_go_where_one_holds_the_load_only_if_it_weighs_nothing() -> None:
    cases = [unknown(f"C{i}") for i in range(8)]
    document = show(cases, payload=3_000)
    document["vehicles"].append({**document["vehicles"][0], "id": "T2"})
    core = parse_show(document)
    answer = solve(core, 20.0)
    assert isinstance(answer, Plan)
    assert len(answer.vehicles) == 2
    worst = heaviest(core)
    masses = {one.code: one.mass_g for one in worst.cases}
    for one in answer.vehicles:
        limit = core.vehicle(one.vehicle).payload_g
        assert limit is not None
        assert sum(masses[place.code] for place in one.places()) <= limit


def test_axles_are_kept_with_nothing_and_with_the_most_in_every_case_unweighed() -> None:
    axles = {"kind": "truck", "wheelbase": 150, "front_axle_to_bulkhead": 40,
             "empty_front": 4_000, "empty_rear": 3_000, "rear_limit": 6_900}  # fmt: skip
    cases = [case(f"C{i}", length=40 + i, mass=500) for i in range(6)]
    cases += [unknown(f"U{i}", height=40 + i) for i in range(3)]
    document = show(cases, axles=axles)
    core = parse_show(document)
    answer = solve(core, 20.0)
    assert isinstance(answer, Plan)
    assert judge(core, answer) == ()
    worst = heaviest(core)
    assert judge(worst, restated(worst, answer)) == ()


def test_a_case_that_nobody_weighed_is_not_left_as_the_lightest() -> None:
    # Three of four cases fit; 48 x 24 x 24 in at 500 kg a cubic metre would be 499 lb.
    sides = {"length": 48, "width": 24, "height": 24}
    stated = [case(f"C{i}", mass=200 + i, **sides) for i in range(2)]
    document = show([*stated, *(unknown(f"U{i}", **sides) for i in range(2))], length=72, width=49)
    answer = solve(parse_show(document), 20.0)
    assert isinstance(answer, NoPlan)
    least = next(way for way in answer.ways_out if way.by == "least mass")
    assert least.codes == ("C0",)
