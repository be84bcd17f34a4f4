"""Chosen rows and stacks by number turned into rows of real cases."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field

from server.core.planner.column_generation.covering import OpenDemand
from server.core.planner.column_generation.row_problem import Pattern
from server.core.planner.construction.shelf import slimmest
from server.core.planner.problem.model import Line, Stack, Standing, Task
from server.core.planner.stacking.placements import footings
from server.core.planner.stacking.stack_types import BenchType
from server.core.shop.case import Case


@dataclass
class Seat:
    """A stack being filled with real cases."""

    bench: BenchType
    towers: list[list[Case]] = field(default_factory=list)
    riders: list[Case] = field(default_factory=list)

    def stack(self, task: Task) -> Stack | None:
        """Return the stack, or None when its real masses break a lid in some way it may stand."""
        found = footings(task, [tuple(tower) for tower in self.towers], self.riders)
        stands = found and all(
            any(one.width <= width and one.depth <= depth for one in found)
            for width, depth in self.bench.outline
        )
        return Stack(found) if stands else None


def realise(
    task: Task, demand: OpenDemand, rows: Sequence[Pattern], picked: Sequence[int]
) -> tuple[list[list[Line]], list[Case]]:
    """Return the rows of each vehicle, and the cases that found no place in them."""
    seats = [Seat(demand.benches[number]) for number in picked]
    left = _hand_out(demand, seats)
    stacks: dict[int, list[Stack]] = defaultdict(list)
    for number, seat in zip(picked, seats, strict=True):
        if not seat.towers:
            continue
        stack = seat.stack(task)
        while stack is None:
            left.append(_give_up(seat))
            stack = seat.stack(task)
        stacks[demand.kind_of[number]].append(stack)
    return set_in_rows(demand, rows, stacks), left


def _give_up(seat: Seat) -> Case:
    """Take the heaviest rider off, or the highest case of a tower."""
    if seat.riders:
        heaviest = max(seat.riders, key=lambda case: (case.mass_g, case.code))
        seat.riders.remove(heaviest)
        return heaviest
    return max(seat.towers, key=len).pop()


def _hand_out(demand: OpenDemand, seats: Sequence[Seat]) -> list[Case]:
    """Give cases to stacks: the heaviest at the bottom, the lightest where lids are weakest.

    Returns the cases that no stack calls for: those that are left behind on purpose.
    """
    waiting = [list(twins.members) for twins in demand.twins]
    for seat in seats:
        seat.towers = [[waiting[tower[0]].pop(0)] for tower in seat.bench.towers]
    tight = sorted(seats, key=_spare)
    # Cases that bear others come first: without them what they carry would hang in the air.
    for seat in tight:
        for tower, numbers in zip(seat.towers, seat.bench.towers, strict=True):
            bearing = numbers[1:] if seat.bench.riders else numbers[1:-1]
            tower += [waiting[number].pop() for number in bearing]
    for seat in tight:
        for tower, numbers in zip(seat.towers, seat.bench.towers, strict=True):
            if len(tower) < len(numbers) and waiting[numbers[-1]]:
                tower.append(waiting[numbers[-1]].pop())
        for number, count in Counter(seat.bench.riders).items():
            for _ in range(min(count, len(waiting[number]))):
                seat.riders.append(waiting[number].pop())
    return [case for group in waiting for case in group]


def _spare(seat: Seat) -> float:
    """Return what the weakest lid of a stack bears for each case above it."""
    above = len(seat.bench.riders) + sum(len(tower) - 1 for tower in seat.bench.towers)
    weakest = min(tower[0].lid_load_g or 0 for tower in seat.towers)
    return weakest / above if above else float("inf")


def set_in_rows(
    demand: OpenDemand, rows: Sequence[Pattern], stacks: dict[int, list[Stack]]
) -> list[list[Line]]:
    """Hand the stacks of each kind to the rows that hold this kind."""
    problem = demand.problem
    rooms: list[list[Line]] = [[] for _ in problem.lengths]
    for pattern in rows:
        standings = []
        for kind, count in pattern.counts:
            for _ in range(min(count, len(stacks[kind]))):
                stack = stacks[kind].pop(0)
                slim = slimmest(stack, pattern.depth)
                assert slim is not None
                standings.append(Standing(stack, slim))
        if standings:
            rooms[problem.bands[pattern.band].room].append(Line(tuple(standings)))
    assert not any(stacks.values()), "every stack has a row"
    return rooms
