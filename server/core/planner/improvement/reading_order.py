"""The order of rows that drops and wishes ask for, equal rows together."""

from __future__ import annotations

from server.core.planner.improvement.balance import look
from server.core.planner.problem.model import Line


def reading_order(line: Line) -> tuple[object, ...]:
    """Return the key: later drops first, wishes at their ends, equal rows together, heavy first."""
    low, high = line.drops
    end = {"bulkhead": -1, "door": 1}
    place = sum(end[near] for near in line.near)
    words = sorted(line.words)
    return (-low, -high, place, words, -line.depth, look(line), -line.mass_g, line.cases[0].code)
