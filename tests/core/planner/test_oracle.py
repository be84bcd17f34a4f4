"""The planner and the judge against an oracle that shares no code with them (tests/oracle)."""

from __future__ import annotations

import copy
import random
from typing import Any

import pytest

from server.core.judge import judge
from server.files.plan_file import parse_plan
from server.files.show_file import parse_show
from tests.oracle.compare import FALSE, compare
from tests.oracle.optimum import Oracle
from tests.oracle.second_judge import second_judge
from tests.oracle.small_shows import KINDS, small_show

Doc = dict[str, Any]
# Sums that a plan states beside its places; the second judge reads places alone.
STATED = ("states a wrong slack", "not the sum of", "not what the moments give")


@pytest.mark.parametrize("seed", range(2 * len(KINDS)))
def test_small_shows_have_no_false_answer(seed: int) -> None:
    found = compare(seed, 1.0)
    assert found.verdict not in FALSE, found


def test_both_judges_find_the_same_plans_lawful() -> None:
    """Plans of the oracle, each changed at random in one place: one verdict by two judges."""
    counts = {True: 0, False: 0}
    for seed in range(26):
        show = small_show(seed)
        oracle = Oracle(show, 10.0)
        witness = oracle.solve() if len(show["cases"]) < 7 else None
        if witness is None:
            continue
        lawful = oracle.document(witness)
        draw = random.Random(seed)
        for _ in range(12):
            other_show, plan = _changed(draw, show, lawful)
            second = second_judge(other_show, plan)
            first = [
                fault
                for fault in judge(parse_show(other_show), parse_plan(plan))
                if not any(words in fault for words in STATED)
            ]
            assert bool(first) == bool(second), (seed, first, second)
            counts[not second] += 1
    assert min(counts.values()) > 30, counts


def _changed(draw: random.Random, show: Doc, plan: Doc) -> tuple[Doc, Doc]:
    """Return a show and its plan with one thing changed, which may or may not break a rule."""
    show, plan = copy.deepcopy(show), copy.deepcopy(plan)
    rows = [row for one in plan["vehicles"] for row in one["rows"]]
    put = draw.choice([put for row in rows for put in row["cases"]])
    case = next(case for case in show["cases"] if case["code"] == put["code"])
    change = draw.randrange(10)
    if change == 0:
        put[draw.choice("xyz")] += draw.choice((-2, -0.5, 0.5, 2))
    elif change == 1:
        case["drop"] = draw.randint(1, 3)
    elif change == 2:
        case["mass"] = draw.choice((0, 90, 300))
    elif change == 3:
        case["lid_load"] = draw.choice((20, 100, 400))
    elif change == 4:
        case["near"] = draw.choice(("bulkhead", "door"))
    elif change == 5:
        case["rides"] = not case["rides"]
    elif change == 6:
        show["rules"]["lift_top"] = draw.choice((40, 50, None))
    elif change == 9:
        case["never_beside"] = [one["code"] for one in show["cases"] if one is not case]
    elif change == 7:
        other = draw.choice(show["cases"])
        case["with"] = other["with"] = "pair"
    else:
        width = show["vehicles"][0]["width"] - draw.choice((1, 10, 30))
        stretch = {"from": draw.choice((0, 30, 60)), "to": 90, "width": width, "up_to": 12}
        show["vehicles"][0]["narrow"] = [stretch]
    return show, plan
