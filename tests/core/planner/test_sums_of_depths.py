"""A bound is rounded up to a sum that depths can have, by every count of every depth."""

from __future__ import annotations

import itertools
import random

from server.core.planner.column_generation.row_problem import Kind, Problem


def _sums(depths: list[int], top: int) -> set[int]:
    """Return every sum up to `top`, by trying every count of every depth."""
    counts = (range(top // depth + 1) for depth in depths)
    found = (
        sum(n * depth for n, depth in zip(one, depths, strict=True))
        for one in itertools.product(*counts)
    )
    return {one for one in found if one <= top}


def test_a_bound_is_rounded_up_to_the_next_sum_of_depths() -> None:
    draw = random.Random(11)
    for _ in range(60):
        depths = sorted(draw.sample(range(20, 61), draw.randint(1, 3)))
        kinds = tuple(Kind(((500, depth),), 1, 1, frozenset({0}), 1) for depth in depths)
        problem = Problem(kinds, (), (200,), (None,))
        sums = _sums([depth // problem.step for depth in depths], 300)
        for least in draw.sample(range(200), 12):
            assert problem.next_sum(least) == min(one for one in sums if one >= least)


def test_depths_of_which_one_is_a_third_of_a_width_are_summed_at_once() -> None:
    # 92 in by three is no whole number of micrometres: the step is one of them, and a truck of
    # 26 ft has eight million; measured 1 s a call when they were gone through one by one
    kinds = tuple(
        Kind(((500, depth),), 1, 1, frozenset({0}), 1)
        for depth in (778_933, 571_500, 762_000, 1_143_000)
    )
    problem = Problem(kinds, (), (7_924_800,), (None,))
    assert problem.step == 1
    assert problem.next_sum(7_000_000) == min(
        one for one in _sums([778_933, 571_500, 762_000, 1_143_000], 8_000_000) if one >= 7_000_000
    )
