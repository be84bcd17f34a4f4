"""Rows that the owner's wishes ask for, set up first: at the bulkhead, at the door, together."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

from server.core.planner.construction.greedy_stacks import build_stacks
from server.core.planner.construction.shelf import Shelf, knapsack
from server.core.planner.construction.vehicle_sets import greedy_loads
from server.core.planner.improvement.row_order import order_rows
from server.core.planner.problem.model import Line, Load, Stack, Standing, Task
from server.core.shop.case import Case
from server.core.shop.vehicle import Vehicle

Rows = list[list[Line]]


def has_wishes(task: Task) -> bool:
    """Return whether some case is wished at an end or together with others."""
    return any(case.near or case.together for case in task.cases)


def wish_rows(task: Task, rest_of: Callable[[Task], Rows | None]) -> Rows | None:
    """Return rows of every vehicle that keep the wishes, the shortest of a few tries.

    `rest_of` plans the cases without wishes into what the wished rows leave of the vehicles.
    """
    groups = _groups(task)
    best: Rows | None = None
    for filled in (True, False):
        for first in range(len(task.vehicles)):
            rows = _try(task, groups, first, rest_of, filled=filled)
            if rows is not None and (best is None or _length(rows) < _length(best)):
                best = rows
            if best is not None:
                break
    return best


def _length(rows: Rows) -> int:
    return sum(line.depth for lines in rows for line in lines)


def _groups(task: Task) -> list[list[Case]]:
    """Return the cases of each wish: one word, or one end without a word, each a group."""
    groups: dict[tuple[str, str], list[Case]] = {}
    for case in task.cases:
        if case.together:
            groups.setdefault(("together", case.together), []).append(case)
        elif case.near:
            groups.setdefault(("near", case.near), []).append(case)
    return [groups[key] for key in sorted(groups)]


def _vehicle_of(group: Sequence[Case], task: Task, first: int) -> int:
    """Return the vehicle for a group: the wished one, else the one whose turn it is."""
    wished = [case.vehicle for case in group if case.vehicle]
    ids = [vehicle.id for vehicle in task.vehicles]
    return ids.index(wished[0]) if wished and wished[0] in ids else first


@dataclass
class _Room:
    """What wished rows took of one vehicle."""

    vehicle: Vehicle
    lines: list[Line]

    def shorter(self) -> Vehicle:
        """Return the vehicle as the rest may use it."""
        length = self.vehicle.length_um - sum(line.depth for line in self.lines)
        mass = sum(line.mass_g for line in self.lines)
        payload = self.vehicle.payload_g
        left = None if payload is None else max(0, payload - mass)
        return replace(
            self.vehicle, length_um=max(1, length), payload_g=left, axles=None, narrow=()
        )


def _try(
    task: Task,
    groups: Sequence[Sequence[Case]],
    first: int,
    rest_of: Callable[[Task], Rows | None],
    *,
    filled: bool,
) -> Rows | None:
    rooms = [_Room(vehicle, []) for vehicle in task.vehicles]
    wished = {case.code for group in groups for case in group}
    pool = build_stacks(task.only(case for case in task.cases if case.code not in wished))
    for group in groups:
        room = rooms[_vehicle_of(group, task, first)]
        width = min([room.vehicle.width_um, *(one.width_um for one in room.vehicle.narrow)])
        part = replace(room.shorter(), width_um=width)
        near = tuple(replace(case, near=None) for case in group)
        loads, left = greedy_loads(replace(task, vehicles=(part,), cases=near), (part,))
        if left:
            return None
        for line in loads[0].lines:
            own = with_wishes(line, group)
            room.lines.append(_filled(own, pool, part) if filled else own)
    used = {case.code for room in rooms for line in room.lines for case in line.cases}
    rest = replace(task, vehicles=tuple(room.shorter() for room in rooms)).only(
        case for case in task.cases if case.code not in used
    )
    more = rest_of(rest) if rest.cases else [[] for _ in rooms]
    if more is None:
        return None
    done: Rows = []
    for room, lines in zip(rooms, more, strict=True):
        ordered = order_rows(room.vehicle, [*room.lines, *lines])
        if ordered is None:
            return None
        done.append(list(ordered))
    return done


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


def _filled(line: Line, pool: list[Stack], vehicle: Vehicle) -> Line:
    """Fill the width that a wished row leaves with stacks of its drop; they leave the pool."""
    low, high = line.drops
    fitting = [stack for stack in pool if low <= stack.drops[0] and stack.drops[1] <= high]
    more = knapsack(Shelf(vehicle), fitting, line.depth, vehicle.width_um - line.width)
    taken = {id(one.stack) for one in more}
    pool[:] = [stack for stack in pool if id(stack) not in taken]
    return Line((*line.standings, *more))


def as_rows(loads: Sequence[Load]) -> Rows:
    """Return the rows of loads."""
    return [list(load.lines) for load in loads]
