"""Running numbers of one phone: what is missing is a range, its cost that of what is there."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import islice

Ranges = tuple[tuple[int, int], ...]


def gaps(numbers: Iterable[int], last: int) -> Ranges:
    """Return the numbers from 1 to `last` that are not there, as ranges (first, last)."""
    missing, expected = [], 1
    for n in sorted({*numbers, last + 1}):
        if n > last + 1:
            break
        if expected < n:
            missing.append((expected, n - 1))
        expected = max(expected, n + 1)
    return tuple(missing)


def first_numbers(ranges: Iterable[tuple[int, int]], most: int) -> list[int]:
    """Return the first numbers that stand in ranges."""
    numbers = (n for first, last in ranges for n in range(first, last + 1))
    return list(islice(numbers, most))


def how_many(ranges: Iterable[tuple[int, int]]) -> int:
    """Return how many numbers stand in ranges."""
    return sum(last - first + 1 for first, last in ranges)
