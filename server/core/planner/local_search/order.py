"""The order of rows: drops and wishes by sorting, moments by moving rows inside their block."""

from __future__ import annotations

from collections.abc import Sequence

from server.core.planner.local_search.cost import off
from server.core.planner.local_search.pieces import Row
from server.core.planner.problem.support_limits import Window

MOST_MOVES = 8


def sorted_rows(rows: Sequence[Row]) -> list[Row]:
    """Return rows in the order of drops and wishes; rows that may change places keep theirs."""
    found = sorted(rows, key=_key)
    return _gathered(found) if any(row.words for row in found) else found


def _key(row: Row) -> tuple[int, int, int]:
    return row.key


def _gathered(rows: list[Row]) -> list[Row]:
    """Return rows with those of one word next to each other, where drops allow it."""
    found: list[Row] = []
    left = list(rows)
    while left:
        row = left.pop(0)
        found.append(row)
        words = set(row.words)
        while words:
            tied = next((r for r in left if r.words & words and _may_follow(found[-1], r)), None)
            if tied is None:
                break
            left.remove(tied)
            found.append(tied)
            words |= tied.words
    return found


def _may_follow(row: Row, other: Row) -> bool:
    return (row.lo, row.hi) == (other.lo, other.hi) and not (row.door or other.door)


def blocks(rows: Sequence[Row]) -> list[tuple[int, int]]:
    """Return the ranges of rows that may change places: same drops, no wish for an end."""
    found = []
    start = 0
    for end in range(1, len(rows) + 1):
        if end == len(rows) or rows[end].key != rows[start].key:
            if end - start > 1:
                found.append((start, end))
            start = end
    return found


def moment_of(rows: Sequence[Row]) -> int:
    """Return the doubled moment of rows about the bulkhead."""
    start = moment = 0
    for row in rows:
        moment += 2 * row.mass_g * start + row.moment
        start += row.depth
    return moment


def aimed(rows: Sequence[Row], window: Window) -> list[Row]:
    """Return rows moved inside their blocks until the moment is in its range, or as near as can be.

    Each step makes the one move that brings the moment nearest.
    """
    now = list(rows)
    moment = moment_of(now)
    ranges = blocks(now)
    for _ in range(MOST_MOVES):
        miss = abs(off(window, moment))
        if not miss:
            break
        best = (miss, 0, 0, 0)
        for begin, end in ranges:
            for at in range(begin, end):
                for to, gain in _gains(now, at, begin, end):
                    after = abs(off(window, moment + gain))
                    if after < best[0]:
                        best = (after, at, to, gain)
        if best[0] >= miss:
            break
        _, at, to, gain = best
        now.insert(to, now.pop(at))
        moment += gain
    return now


def _gains(rows: Sequence[Row], at: int, begin: int, end: int) -> list[tuple[int, int]]:
    """Return where a row may move inside its block, and what that adds to the moment."""
    row, found = rows[at], []
    mass = depth = 0
    for to in range(at + 1, end):
        mass, depth = mass + rows[to].mass_g, depth + rows[to].depth
        found.append((to, 2 * (row.mass_g * depth - mass * row.depth)))
    mass = depth = 0
    for to in range(at - 1, begin - 1, -1):
        mass, depth = mass + rows[to].mass_g, depth + rows[to].depth
        found.append((to, 2 * (mass * row.depth - row.mass_g * depth)))
    return found
