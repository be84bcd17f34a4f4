"""Straighter rows, equal cases together: who stands where among places of one width.

Rows of one depth and the same drops exchange stacks of one width. No row gets deeper or wider, so
the floor length and every row's slack stay what they are.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Hashable, Sequence
from dataclasses import replace

from server.core.planner.problem.model import Line, Load, Standing

Spot = tuple[int, int]  # row, place in it
ClassOf = Callable[[Line, Standing], Hashable]


def straighten(load: Load) -> Load:
    """Return the load with stacks exchanged wherever fewer rows are ragged or mixed by it."""
    for class_of in (_of_width, _of_floor):
        for spots in _classes(load.lines, class_of):
            lines = _dealt(load.lines, spots)
            if _depths(lines) == _depths(load.lines) and unrest(lines) < unrest(load.lines):
                load = replace(load, lines=lines)
    return load


def unrest(lines: Sequence[Line]) -> tuple[int, int]:
    """Return how many rows have a ragged edge, and how many kinds of stacks rows hold, summed."""
    ragged = sum(any(one.footing.depth < line.depth for one in line.standings) for line in lines)
    return ragged, sum(len({_look(one) for one in line.standings}) for line in lines)


def _look(one: Standing) -> tuple[object, ...]:
    """Return what a reader tells stacks apart by."""
    return tuple((c.name, c.length_um, c.width_um, c.height_um) for c in one.stack.cases)


def _of_width(line: Line, one: Standing) -> Hashable:
    return line.drops, line.depth, one.footing.width, one.stack.drops


def _of_floor(line: Line, one: Standing) -> Hashable:
    return line.drops, one.footing.depth, one.footing.width, one.stack.drops


def _classes(lines: Sequence[Line], class_of: ClassOf) -> list[list[Spot]]:
    """Return the places of each class; who is wished somewhere keeps the own place."""
    found: dict[Hashable, list[Spot]] = defaultdict(list)
    for row, line in enumerate(lines):
        for place, one in enumerate(line.standings):
            if one.stack.near is None and one.stack.together is None:
                found[class_of(line, one)].append((row, place))
    return [spots for spots in found.values() if len({row for row, _ in spots}) > 1]


def _dealt(lines: Sequence[Line], spots: Sequence[Spot]) -> tuple[Line, ...]:
    """Return the rows with the stacks of a class dealt anew: deep first, equal ones together."""
    standings = [list(line.standings) for line in lines]
    stacks = sorted(
        (standings[row][place] for row, place in spots),
        key=lambda one: (
            -one.footing.depth,
            _look(one),
            -one.stack.mass_g,
            one.stack.cases[0].code,
        ),
    )
    for (row, place), one in zip(spots, stacks, strict=True):
        standings[row][place] = one
    return tuple(Line(tuple(row)) for row in standings)


def _depths(lines: Sequence[Line]) -> list[int]:
    return [line.depth for line in lines]
