"""The first answer at once: row after row, each as full as a knapsack makes it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from server.core.base.units import within
from server.core.planner.problem.model import Footing, Line, Load, Stack, Standing, floor_width
from server.core.shop.vehicle import Vehicle

Outline = tuple[tuple[int, int], ...]


@dataclass
class Shelf:
    """One vehicle being filled from the bulkhead on."""

    vehicle: Vehicle
    deepest_first: bool = True
    lines: list[Line] = field(default_factory=list)
    length: int = 0
    mass_g: int = 0
    parts: int = 0

    def room_for(self, stack: Stack) -> bool:
        """Return whether payload is left for a stack."""
        parts = self.parts + len(stack.cases)
        return within(self.mass_g + stack.mass_g, self.vehicle.payload_g, parts)

    def add(self, standings: Sequence[Standing]) -> None:
        """Close a row."""
        line = Line(tuple(standings))
        self.lines.append(line)
        self.length += line.depth
        self.mass_g += line.mass_g
        self.parts += len(line.cases)

    def load(self) -> Load:
        """Return what stands in the vehicle."""
        return Load(self.vehicle, tuple(self.lines))


def shelve(
    vehicle: Vehicle, stacks: Iterable[Stack], deepest_first: bool
) -> tuple[Load, list[Stack]]:
    """Fill a vehicle; return its load and the stacks that found no room."""
    shelf = Shelf(vehicle, deepest_first)
    pool: list[Stack] = []
    left: list[Stack] = []
    for stack in stacks:
        (pool if stack.fits(vehicle) else left).append(stack)
    door = [stack for stack in pool if stack.near == "door"]
    pool = [stack for stack in pool if stack.near != "door"]
    forced = [stack for stack in pool if stack.near == "bulkhead"]
    end = _reserve(door)
    while pool:
        drop = max(stack.drops[1] for stack in pool)
        standings = _next_row(shelf, pool, drop, forced, vehicle.length_um - end)
        if standings is None:
            blocked = [stack for stack in pool if stack.drops[1] == drop]
            left += blocked
            pool = [stack for stack in pool if stack.drops[1] != drop]
            continue
        forced = []
        shelf.add(standings)
        used = {id(one.stack) for one in standings}
        pool = [stack for stack in pool if id(stack) not in used]
    left += _door_row(shelf, door)
    return shelf.load(), left


def _reserve(door: Sequence[Stack]) -> int:
    """Return the length to keep for the row at the door."""
    return max((min(d for _, d in stack.outline) for stack in door), default=0)


def _door_row(shelf: Shelf, door: list[Stack]) -> list[Stack]:
    if not door:
        return []
    limit = shelf.vehicle.length_um - shelf.length
    best = _fill(shelf, door, [], limit)
    if best:
        shelf.add(best)
    used = {id(one.stack) for one in best}
    return [stack for stack in door if id(stack) not in used]


def _next_row(
    shelf: Shelf, pool: Sequence[Stack], drop: int, forced: list[Stack], end: int
) -> list[Standing] | None:
    """Return the next row of the latest drop that is left, topped up from the drop before it."""
    mine = [s for s in pool if s.drops[1] == drop and shelf.room_for(s)]
    if not mine:
        return None
    limit = end - shelf.length
    row = _fill(shelf, mine, forced, limit)
    if not row:
        return None
    used = {id(one.stack) for one in row}
    if all(id(stack) in used for stack in pool if stack.drops[1] == drop):
        depth = max(one.footing.depth for one in row)
        nxt = [s for s in pool if s.drops == (drop - 1, drop - 1) and id(s) not in used]
        free = floor_width(shelf.vehicle, shelf.length, depth)
        free -= sum(one.footing.width for one in row)
        row += knapsack(shelf, nxt, depth, free)
    return row


def _fill(
    shelf: Shelf, pool: Sequence[Stack], forced: Sequence[Stack], limit: int
) -> list[Standing]:
    """Return the fullest row of all depths tried; forced stacks stand in it."""
    if shelf.deepest_first:
        every = {min(depth for _, depth in stack.outline) for stack in pool}
    else:
        every = {depth for stack in pool for _, depth in stack.outline}
    depths = sorted((depth for depth in every if depth <= limit), reverse=True)
    if shelf.deepest_first:
        depths = depths[:1]
    best: list[Standing] = []
    best_rank = -1.0
    for depth in depths[:6]:
        width = floor_width(shelf.vehicle, shelf.length, depth)
        seed = _set_in(forced, depth, width)
        if seed is None:
            continue
        width -= sum(one.footing.width for one in seed)
        taken = {id(stack) for stack in forced}
        rest = [stack for stack in pool if id(stack) not in taken]
        row = seed + knapsack(shelf, rest, depth, width)
        if not row:
            continue
        deep = max(one.footing.depth for one in row)
        rank = sum(one.footing.width * one.footing.depth for one in row) / deep
        if rank > best_rank:
            best, best_rank = row, rank
    return best


def _set_in(forced: Sequence[Stack], depth: int, width: int) -> list[Standing] | None:
    """Stand forced stacks side by side, or None when they do not fit."""
    found = []
    for stack in forced:
        slim = slimmest(stack, depth)
        if slim is None:
            return None
        width -= slim.width
        found.append(Standing(stack, slim))
    return found if width >= 0 else None


def slimmest(stack: Stack, depth: int) -> Footing | None:
    """Return the narrowest footing no deeper than `depth`."""
    return min(
        (footing for footing in stack.footings if footing.depth <= depth),
        key=lambda footing: (footing.width, footing.depth),
        default=None,
    )


def knapsack(shelf: Shelf, pool: Sequence[Stack], depth: int, width: int) -> list[Standing]:
    """Return the stacks that cover most floor within a width, by reachable sums of widths."""
    kinds: dict[tuple[int, int], list[tuple[Stack, Footing]]] = defaultdict(list)
    for stack in pool:
        slim = slimmest(stack, depth)
        if slim is not None and slim.width <= width and shelf.room_for(stack):
            kinds[slim.width, slim.depth].append((stack, slim))
    sums: dict[int, tuple[int, tuple[tuple[tuple[int, int], int], ...]]] = {0: (0, ())}
    for kind in sorted(kinds, reverse=True):
        wide, deep = kind
        for start, (area, picks) in list(sums.items()):
            for count in range(1, min(len(kinds[kind]), (width - start) // wide) + 1):
                end, cover = start + count * wide, area + count * wide * deep
                if end not in sums or sums[end][0] < cover:
                    sums[end] = (cover, (*picks, (kind, count)))
    _, picks = max(sums.values(), key=lambda one: one[0])
    row, mass, parts = [], shelf.mass_g, shelf.parts
    for kind, count in picks:
        for stack, slim in kinds[kind][:count]:
            mass, parts = mass + stack.mass_g, parts + len(stack.cases)
            if within(mass, shelf.vehicle.payload_g, parts):
                row.append(Standing(stack, slim))
    return row
