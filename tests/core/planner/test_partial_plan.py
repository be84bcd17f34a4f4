"""Shows that do not load: a lawful part at once, the reason, and no search beyond a proof."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import pytest

from server.core.judge import judge
from server.core.planner.infeasibility import smallest_sets
from server.core.planner.local_search import annealing
from server.core.planner.problem.answer import NoPlan
from server.core.planner.solve import solve
from server.core.shop.plan import Plan
from server.files.show_file import parse_show
from tests.bench.show_generator import make_show
from tests.core.planner.test_refuse import case, show


def over_payload(share: float) -> dict[str, Any]:
    document = make_show(46, 2)
    mass = sum(one["mass"] for one in document["cases"])
    document["vehicles"][0]["payload"] = round(share * mass)
    return document


def test_what_the_payload_proves_is_searched_no_further(monkeypatch: pytest.MonkeyPatch) -> None:
    # By hand: the heaviest cases that make up what is too much are the fewest that can stay.
    document = over_payload(0.95)
    masses = sorted((one["mass"] for one in document["cases"]), reverse=True)
    over = sum(masses) - document["vehicles"][0]["payload"]
    fewest = next(n for n in range(len(masses)) if sum(masses[:n]) >= over)
    monkeypatch.setattr(smallest_sets, "leaver", lambda *_: pytest.fail("searched beyond proof"))
    answer = solve(parse_show(document), 60.0)
    assert isinstance(answer, NoPlan)
    sets = {way.by: way for way in answer.ways_out}
    assert all(way.proven for way in sets.values())
    assert len(sets["fewest cases"].codes) == fewest
    assert judge(parse_show(document), answer.best) == ()


def test_a_lawful_part_is_announced_before_anything_is_searched(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    document = parse_show(over_payload(0.85))
    heard: list[Plan] = []
    searched: list[int] = []
    run = annealing.LocalSearch.run

    def noted(self: annealing.LocalSearch, *args: Any, **named: Any) -> None:
        searched.append(len(heard))
        run(self, *args, **named)

    monkeypatch.setattr(annealing.LocalSearch, "run", noted)
    answer = solve(document, 20.0, on_progress=heard.append)
    assert isinstance(answer, NoPlan)
    assert searched[0] == 1  # the first part was there before the first search
    assert all(judge(document, plan) == () and plan.left_out for plan in heard)
    left = [len(plan.left_out) for plan in heard]
    assert all(after < before for before, after in pairwise(left))
    assert len(answer.best.left_out) <= left[-1]


@pytest.mark.parametrize(
    ("cases", "reason"),
    [
        ([case(f"C{i}", near="bulkhead") for i in range(9)], "the wishes for bulkhead and door"),
        ([case("A", never_beside=["B"], near="door"), case("B", near="door")], "never_beside"),
        ([case("A", drop=3), case("B", near="bulkhead", drop=2), case("C", near="bulkhead")],
         "C: wished at the bulkhead, but later drops belong behind it"),
    ],
)  # fmt: skip
def test_rules_that_contradict_each_other_are_named(cases: list[Any], reason: str) -> None:
    answer = solve(parse_show(show(cases)), 20.0)
    assert isinstance(answer, NoPlan)
    assert answer.proven
    assert any(one.startswith(reason) for one in answer.reasons), answer.reasons


def test_vehicles_without_floor_enough_are_refused_by_area() -> None:
    # 300 cases of 45 x 30 in need 202,500 sq in of floor; ten vehicles have 9,600 each.
    document = show([case(f"C{i}", length=45, width=30) for i in range(300)], length=100)
    (first,) = document["vehicles"]
    document["vehicles"] = [{**first, "id": f"T{i}"} for i in range(10)]
    answer = solve(parse_show(document), 3.0)
    assert isinstance(answer, NoPlan)
    assert answer.proven
    assert answer.short_um > 0
    assert judge(parse_show(document), answer.best) == ()
    assert answer.best.vehicles
