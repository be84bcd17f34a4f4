"""Generators of the bench: planted shows have the optimum that they state, all are lawful input."""

from __future__ import annotations

import pytest

from server.core.planner.bounds.certificate import area_duals
from server.core.planner.bounds.certified import RelaxedBound
from server.core.proof.check import floor_bound
from server.core.proof.relaxation import Relaxation
from server.files.show_file import parse_show
from tests.bench.rules import answer
from tests.bench.rules_shows import all_rules_show, planted_show

IN = 25_400


@pytest.mark.parametrize("seed", range(6))
def test_the_floor_of_a_planted_show_is_proven_by_area(seed: int) -> None:
    document, best = planted_show(30, seed)
    show = parse_show(document)
    (room,) = document["vehicles"]
    # Beside a narrow stretch rows are as full as it lets them be: what it takes away is not floor.
    lost = sum(
        (room["width"] - one["width"]) * (one["to"] - one["from"]) / room["width"]
        for one in room.get("narrow", [])
    )
    bound = RelaxedBound(show, lambda: False)
    assert bound.up_to(round(best * IN) + IN) <= best * IN + IN / 2
    areas = floor_bound(Relaxation(show), area_duals(Relaxation(show)))
    assert areas <= best * IN + 2
    assert areas > 0.98 * (best - lost) * IN


def test_shows_with_all_rules_can_be_read_and_repeat() -> None:
    for seed in range(20):
        parse_show(all_rules_show(20, seed))
        assert all_rules_show(20, seed) == all_rules_show(20, seed)
        assert planted_show(20, seed) == planted_show(20, seed)


@pytest.mark.parametrize("seed", range(2))
def test_no_answer_to_a_generated_show_is_false(seed: int) -> None:
    document, best = planted_show(20, seed)
    for found in (
        answer("planted", document, 1.0, best),
        answer("all", all_rules_show(20, seed), 1.0, None),
    ):
        assert not found.verdict.startswith(("FALSE", "UNLAWFUL")), found
        assert found.bound > 0 or found.verdict in ("cannot go", "none found")
