"""Where stacks stand across the floor: from the left wall on, each clear of narrow stretches."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import permutations

from server.core.planner.problem.model import Line, floor_width
from server.core.shop.vehicle import Vehicle

MOST_ACROSS = 7  # stacks whose orders are all tried

Floor = tuple[int, int]  # width and depth of a stack


def places_across(room: Vehicle, start: int, floors: Iterable[Floor]) -> list[int] | None:
    """Return the left edge of each stack in the order given, or None where they do not fit.

    A narrow stretch binds each stack by its own depth: one that ends ahead of it may stand at
    the wall.
    """
    x, found = 0, []
    for width, depth in floors:
        wall = (room.width_um - floor_width(room, start, depth) + 1) // 2
        x = max(x, wall)
        if x + width > room.width_um - wall:
            return None
        found.append(x)
        x += width
    return found


def fits_across(room: Vehicle, start: int, line: Line) -> bool:
    """Return whether a row in its order of stacks stands between walls and narrow stretches."""
    floors = [(one.footing.width, one.footing.depth) for one in line.standings]
    return places_across(room, start, floors) is not None


def order_across(room: Vehicle, start: int, floors: Sequence[Floor]) -> tuple[int, ...] | None:
    """Return an order of stacks, by their numbers, in which they fit across, or None."""
    plain = tuple(range(len(floors)))
    free = {floor_width(room, start, depth) for _, depth in floors}
    if not free or sum(width for width, _ in floors) <= min(free):
        return plain
    if len(free) == 1:
        return None
    if len(floors) > MOST_ACROSS:
        return plain if places_across(room, start, floors) is not None else None
    for order in permutations(plain):
        if places_across(room, start, [floors[i] for i in order]) is not None:
            return order
    return None


def settled_across(room: Vehicle, start: int, line: Line) -> Line | None:
    """Return a row with its stacks in an order that fits across from `start` on, or None."""
    if fits_across(room, start, line):
        return line
    floors = [(one.footing.width, one.footing.depth) for one in line.standings]
    order = order_across(room, start, floors)
    return None if order is None else Line(tuple(line.standings[i] for i in order))
