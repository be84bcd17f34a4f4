"""Riders on a run of lids: what fits, against OR-Tools CP-SAT as a model of its own."""

from __future__ import annotations

import random

import pytest

from server.core.planner.stacking.lid_rules import Sides
from server.core.planner.stacking.rectangle_packing import TooFine, merged, packings
from tests.core.planner.cp_sat import ask

LIDS = ((3, 6), (4, 6), (4, 3), (6, 3), (4, 4), (3, 4), (6, 4))
RIDERS = ((3, 3), (4, 3), (6, 3), (4, 4), (5, 2), (2, 2))
SEEDS = range(120)

Question = tuple[list[tuple[int, int]], list[tuple[int, int]]]


def question(seed: int) -> Question:
    """Return lids side by side and riders, whose area is at least two thirds of the lids'."""
    draw = random.Random(seed)
    lids = draw.choices(LIDS, k=draw.randint(1, 4))
    area = sum(width * depth for width, depth in lids)
    riders: list[tuple[int, int]] = []
    while 3 * sum(a * b for a, b in riders) < 2 * area:
        riders.append(draw.choice(RIDERS))
    return lids, riders


def turned(rider: tuple[int, int]) -> Sides:
    return tuple(dict.fromkeys((rider, rider[::-1])))


@pytest.fixture(scope="module")
def answers() -> list[bool]:
    """Whether the riders fit, by the other model."""
    return [line == "fits" for line in ask("spread_model", map(question, SEEDS))]


def test_riders_fit_on_lids_exactly_where_an_independent_model_finds_room(
    answers: list[bool],
) -> None:
    assert True in answers
    assert False in answers
    wrong, unsaid = [], 0
    for seed in SEEDS:
        lids, riders = question(seed)
        asked = [(turned(rider), riders.count(rider)) for rider in dict.fromkeys(riders)]
        try:
            found = next(packings(tuple(lids), asked), None)
        except TooFine:
            unsaid += 1
            continue
        if (found is not None) != answers[seed]:
            wrong.append(seed)
    assert not wrong
    assert unsaid <= len(SEEDS) // 20


def test_each_packing_lies_on_the_lids_and_nothing_overlaps() -> None:
    lids: Sides = ((3, 6), (4, 4), (6, 3))
    asked = [(turned((3, 3)), 2), (turned((4, 3)), 2), (turned((2, 2)), 1)]
    seen = 0
    for boxes in packings(lids, asked):
        seen += 1
        cells = [
            (column, line)
            for x, y, dx, dy in boxes
            for column in range(x, x + dx)
            for line in range(y, y + dy)
        ]
        assert len(cells) == len(set(cells)) == 2 * 9 + 2 * 12 + 4
        depth = [6] * 3 + [4] * 4 + [3] * 6
        assert all(line < depth[column] for column, line in cells)
    assert seen > 1


def test_lids_of_one_depth_count_as_one_and_so_does_the_mirror_image() -> None:
    assert merged(((3, 6), (4, 6), (2, 3))) == merged(((2, 3), (7, 6)))


def test_more_sums_than_can_be_looked_at_are_refused() -> None:
    with pytest.raises(TooFine):
        next(packings(((997, 991),), [(turned((31, 37)), 3), (turned((41, 43)), 2)]))
