"""Rows with the cases as the show has them: the search may know cases without their wishes."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from server.core.planner.problem.model import Line, Stack, Standing
from server.core.shop.case import Case


def with_wishes(line: Line, group: Iterable[Case]) -> Line:
    """Return a row with the cases as the show has them, wishes and all."""
    known = {case.code: case for case in group}
    standings = []
    for one in line.standings:
        footings = tuple(
            replace(
                footing,
                puts=tuple(replace(put, case=known[put.case.code]) for put in footing.puts),
            )
            for footing in one.stack.footings
        )
        stack = Stack(footings)
        standings.append(Standing(stack, stack.footing(one.footing.width, one.footing.depth)))
    return Line(tuple(standings))
