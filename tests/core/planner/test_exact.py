"""Small shows with every rule: the exact search against plans that show what is possible."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from server.core.judge import judge
from server.core.planner.exact.search import ExactSearch, is_small
from server.core.planner.problem import pair_rules
from server.core.planner.problem.answer import NoPlan
from server.core.planner.problem.model import Task
from server.core.planner.solve import solve
from server.core.shop.case import Case
from server.core.shop.plan import Plan
from server.files.plan_file import parse_plan
from server.files.show_file import parse_show
from server.settings import ROOT

LAWFUL = ROOT / "fixtures/shows/lawful"
LONG = 60.0  # a busy machine must not fail these


@pytest.mark.parametrize("path", sorted(LAWFUL.glob("*-show.json")), ids=lambda path: path.stem)
def test_no_plan_is_longer_than_one_known_to_be_lawful(path: Path) -> None:
    show = parse_show(json.loads(path.read_text(encoding="utf-8")))
    known = path.with_name(path.name.replace("-show", "-plan"))
    witness = parse_plan(json.loads(known.read_text(encoding="utf-8")))
    assert judge(show, witness) == ()
    plan = solve(show, LONG)
    assert isinstance(plan, Plan)
    assert judge(show, plan) == ()
    assert plan.floor_length_um <= witness.floor_length_um + 2
    assert plan.lower_bound_um <= witness.floor_length_um + 2


def document(cases: list[dict[str, Any]], **vehicle: Any) -> dict[str, Any]:
    room = {"id": "T", "width": 96, "length": 240, "height": 96, **vehicle}
    return {"format": "rowcall-show-1", "vehicles": [room], "cases": cases}


def box(code: str, **given: Any) -> dict[str, Any]:
    return {"code": code, "length": 48, "width": 30, "height": 30, "mass": 300, **given}


def test_a_refusal_is_proven_only_where_nothing_else_is_possible() -> None:
    # Four cases of 48 x 30 in stand in two rows of 30 in; 59 in of floor are an inch too short.
    cases = [box(f"C{i}") for i in range(4)]
    short = solve(parse_show(document(cases, length=59)), LONG)
    assert isinstance(short, NoPlan)
    assert short.proven
    assert short.status == "cannot_load"
    assert isinstance(solve(parse_show(document(cases, length=60)), LONG), Plan)


def test_a_search_without_time_claims_no_proof() -> None:
    cases = [box(f"C{i}", mass=100 + i, near="door" if i < 5 else None) for i in range(30)]
    show = parse_show(document(cases, length=500))
    answer = solve(show, 0.01, should_stop=lambda: True)
    assert isinstance(answer, NoPlan)
    assert not answer.proven
    assert answer.status == "none_found"
    assert "No lawful plan of all cases was found" in answer.words()
    assert judge(show, answer.best) == ()


def test_what_is_left_of_a_small_show_is_the_least_there_is() -> None:
    # Two rows of two stand on 60 in; of six cases two must stay, the lightest two by mass.
    cases = [box(f"C{i}", mass=100 * (i + 1)) for i in range(6)]
    answer = solve(parse_show(document(cases, length=60)), LONG)
    assert isinstance(answer, NoPlan)
    ways = {way.by: way for way in answer.ways_out}
    assert ways["least mass"].codes == ("C0", "C1")
    assert all(way.proven for way in ways.values() if way.codes)


def test_a_rule_between_two_cases_is_declared_in_one_place(monkeypatch: pytest.MonkeyPatch) -> None:
    # A and B fill a row of 60 in together; never side by side they need a row each.
    show = parse_show(document([box("A"), box("B")]))
    task = Task.of(show)
    assert is_small(task)

    def apart(one: Case, other: Case) -> bool:
        return {one.code, other.code} != {"A", "B"}

    def shortest(some: Task) -> int:
        search = ExactSearch(some, lambda: False)
        assert search.prepare()
        return search.answer().bound

    beside = shortest(task)
    for module in ("piles", "rows"):
        monkeypatch.setattr(f"server.core.planner.exact.{module}.may_be_beside", apart)
    named = task.only(replace(case, never_under=("A", "B")) for case in task.cases)
    assert (beside, shortest(named)) == (30 * 25_400, 60 * 25_400)
    assert pair_rules.may_be_beside(*task.cases)


def test_a_rule_that_only_the_judge_knows_is_searched_around() -> None:
    # Asked of each row alone, "A never with B" leaves two rows; the search finds them.
    show = parse_show(document([box("A", mass=301), box("B", mass=302), box("C", mass=303)]))

    def allows(_: Any, line: Any) -> bool:
        return not {"A", "B"} <= {case.code for case in line.cases}

    search = ExactSearch(Task.of(show), lambda: False, keep_all=True, allowed=allows)
    search.prepare()
    found = search.answer()
    assert found.rooms is not None
    assert all(allows(None, line) for lines in found.rooms for line in lines)
    assert sum(len(line.cases) for lines in found.rooms for line in lines) == 3
