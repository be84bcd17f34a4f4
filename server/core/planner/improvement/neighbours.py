"""Stacks of a row in an order that rules between neighbours allow, or exchanged between rows."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import islice, pairwise, permutations

from server.core.planner.problem.model import Line, Standing
from server.core.planner.problem.pair_rules import may_be_beside
from server.core.shop.case import Case

MOST_ORDERS = 720  # of one row's stacks


def with_agreeing_neighbours(lines: Sequence[Line]) -> list[Line]:
    """Return rows whose neighbours agree wherever an order or an exchange of stacks does that.

    Stacks change places only with stacks of the same floor and drops, so no row grows.
    """
    rows = [ordered_across(line) or line for line in lines]
    for index in range(len(rows)):
        if not agree(rows[index]):
            _exchange(rows, index)
    return rows


def agree(line: Line) -> bool:
    """Return whether rules between cases allow every two neighbouring stacks of a row."""
    stands = all(
        may_be_beside(one, other)
        for left, right in pairwise(line.standings)
        for one in left.stack.cases
        for other in right.stack.cases
    )
    return stands and all(
        may_be_beside(one, other)
        for standing in line.standings
        for one, other in pairwise(_bases(standing))
    )


def _bases(standing: Standing) -> list[Case]:
    """Return the floor cases of a stack, from the left."""
    floor = [put for put in standing.footing.puts if not put.on]
    return [put.case for put in sorted(floor, key=lambda put: put.x)]


def ordered_across(line: Line) -> Line | None:
    """Return a row with its stacks in the first order in which neighbours agree, or None."""
    orders = islice(permutations(line.standings), MOST_ORDERS)
    return next((row for order in orders if agree(row := Line(tuple(order)))), None)


def _exchange(rows: list[Line], index: int) -> None:
    """Exchange one stack of a row with one of another row, so that both rows agree."""
    mine = rows[index]
    for at, one in enumerate(mine.standings):
        for other_index, other_row in enumerate(rows):
            if other_index == index:
                continue
            for other_at, other in enumerate(other_row.standings):
                if not _alike(one, other):
                    continue
                made = ordered_across(_with(mine, at, other))
                changed = ordered_across(_with(other_row, other_at, one))
                if made is not None and changed is not None:
                    rows[index], rows[other_index] = made, changed
                    return


def _alike(one: Standing, other: Standing) -> bool:
    """Return whether two stacks may stand in each other's place: same floor, drops and wishes."""
    return (
        (one.footing.width, one.footing.depth) == (other.footing.width, other.footing.depth)
        and one.stack.drops == other.stack.drops
        and one.stack.near == other.stack.near
        and one.stack.together == other.stack.together
    )


def _with(line: Line, at: int, standing: Standing) -> Line:
    return Line((*line.standings[:at], standing, *line.standings[at + 1 :]))
