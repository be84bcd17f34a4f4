"""The smallest set to leave, and the claim that none is smaller, against models of their own."""

from __future__ import annotations

import json
import random
from collections.abc import Callable
from dataclasses import replace
from itertools import combinations
from pathlib import Path
from typing import Any

import pytest

from server.core.judge import judge
from server.core.planner.problem.answer import NoPlan, WayOut
from server.core.planner.solve import solve
from server.files.show_file import parse_show
from tests.core.planner.cp_sat import ask
from tests.core.planner.test_small_optimum import small_show

pytestmark = pytest.mark.slow

ROOT = Path(__file__).resolve().parents[3]
SEEDS = range(26)
Price = Callable[[dict[str, Any]], float]
PRICES: dict[str, Price] = {
    "fewest cases": lambda case: 1,
    "least mass": lambda case: case["mass"],
    "least floor": lambda case: case["length"] * case["width"],
    "least wanted": lambda case: 6_350_400 // case["drop"] ** 2,
}


def too_much(seed: int) -> dict[str, Any]:
    """Return a small show for a vehicle that is too short for it, too weak, or both."""
    show = small_show(seed)
    draw = random.Random(seed + 1_000)
    (vehicle,) = show["vehicles"]
    vehicle["length"] = draw.choice((60, 66, 75, 90))
    if draw.random() < 0.4:
        mass = sum(case["mass"] for case in show["cases"])
        vehicle["payload"] = mass * draw.choice((40, 60, 80)) // 100
    return show


def has_gap(show: dict[str, Any]) -> bool:
    """Return whether drops 1 and 3 are called without a 2: the bound lets them share a row."""
    drops = {case["drop"] for case in show["cases"]}
    return bool(max(drops) - min(drops) >= len(drops))


def price_of(way: WayOut, show: dict[str, Any]) -> float:
    """Return what a set costs by its own measure."""
    return sum(PRICES[way.by](case) for case in show["cases"] if case["code"] in way.codes)


def wrong_claims(answer: NoPlan, show: dict[str, Any], cheapest: dict[str, int]) -> list[str]:
    """Return in words every set that is too small to be true, or is called smallest and is not."""
    found = []
    for way in answer.ways_out:
        price, least = price_of(way, show), cheapest[way.by]
        if price < least:
            found.append(f"{way.by}: {price} stay, and {least} must")
        if way.proven and price > least:
            found.append(f"{way.by}: {price} called smallest, {least} would do")
    return found


@pytest.fixture(scope="module")
def cheapest() -> list[dict[str, int]]:
    """What must stay at least of every show, by the other model."""
    return [json.loads(line) for line in ask("leave_model", map(too_much, SEEDS))]


@pytest.fixture(scope="module")
def answers() -> list[NoPlan | None]:
    """What the planner says of every show; None where all goes."""
    found = [solve(parse_show(too_much(seed)), 10.0) for seed in SEEDS]
    return [one if isinstance(one, NoPlan) else None for one in found]


@pytest.mark.parametrize("seed", SEEDS)
def test_no_set_called_smallest_is_larger_than_another_model_finds(
    seed: int, cheapest: list[dict[str, int]], answers: list[NoPlan | None]
) -> None:
    answer, show = answers[seed], too_much(seed)
    if answer is None:
        assert cheapest[seed]["fewest cases"] == 0
        return
    assert wrong_claims(answer, show, cheapest[seed]) == []
    assert judge(parse_show(show), answer.best) == ()


def test_most_sets_of_small_shows_are_proven_and_none_is_larger_than_it_must_be(
    cheapest: list[dict[str, int]], answers: list[NoPlan | None]
) -> None:
    ways = [
        (way, price_of(way, too_much(seed)), cheapest[seed][way.by])
        for seed, answer in enumerate(answers)
        if answer is not None and not has_gap(too_much(seed))
        for way in answer.ways_out
    ]
    assert len(ways) > 60
    assert all(way.proven for way, _, _ in ways)
    assert all(price == least for _, price, least in ways)


def test_a_wrong_claim_is_caught(
    cheapest: list[dict[str, int]], answers: list[NoPlan | None]
) -> None:
    caught = 0
    for seed, answer in enumerate(answers):
        if answer is None:
            continue
        show = too_much(seed)
        for way in answer.ways_out:
            others = [case["code"] for case in show["cases"] if case["code"] not in way.codes]
            larger = replace(way, codes=(*way.codes, others[0]), proven=True)
            smaller = replace(way, codes=way.codes[1:], proven=False)
            for planted in (larger, smaller):
                told = replace(answer, ways_out=(planted,))
                caught += bool(wrong_claims(told, show, cheapest[seed]))
    assert caught == 2 * sum(len(answer.ways_out) for answer in answers if answer is not None)


@pytest.mark.parametrize("seed", range(12))
def test_by_payload_alone_no_subset_of_all_is_smaller(seed: int) -> None:
    draw = random.Random(seed)
    cases: list[dict[str, Any]] = [
        {"code": f"C{i}", "length": 45, "width": draw.choice((22.5, 30, 45)), "height": 30,
         "mass": draw.randrange(100, 900, 25), "drop": draw.randint(1, 3)}
        for i in range(10)
    ]  # fmt: skip
    payload = sum(case["mass"] for case in cases) * draw.choice((50, 70, 90)) // 100
    vehicle = {"id": "T", "width": 96, "length": 500, "height": 96, "payload": payload}
    document = {"format": "rowcall-show-1", "vehicles": [vehicle], "cases": cases}
    answer = solve(parse_show(document), 10.0)
    assert isinstance(answer, NoPlan)
    over = sum(case["mass"] for case in cases) - payload
    enough = [
        chosen
        for count in range(1, 11)
        for chosen in combinations(cases, count)
        if sum(case["mass"] for case in chosen) >= over
    ]
    for way in answer.ways_out:
        least = min(sum(PRICES[way.by](case) for case in chosen) for chosen in enough)
        assert price_of(way, document) == pytest.approx(least)
        assert way.proven
        assert way.sure() == "no smaller set would do"


def test_a_set_that_is_not_proven_is_called_the_smallest_found() -> None:
    assert WayOut("least mass", ("A",), 1, 1).sure() == "the smallest set found"
