"""Simulated annealing over the neighbourhoods, from any rows of all cases to lawful, short ones."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from math import exp
from random import Random

from server.core.base.units import within
from server.core.planner.construction.greedy_stacks import build_stacks
from server.core.planner.construction.wishes import with_wishes
from server.core.planner.local_search.cost import Evaluation
from server.core.planner.local_search.moves import Moves
from server.core.planner.local_search.order import sorted_rows
from server.core.planner.local_search.pieces import Row, RowMaker
from server.core.planner.local_search.recreate import recreated
from server.core.planner.local_search.state import State, state_of
from server.core.planner.problem.deadline import Clock
from server.core.planner.problem.model import Line, Stack, Task

# Temperatures in mean depths of a row: at the start, at the start from good rows, at the end.
HOT, WARM, COLD = 0.25, 0.06, 0.004
FAULT = 1.0  # times the mean depth: the first price of a fault
DEARER, CHEAPER = 1.6, 0.9  # the price's steps
LOOK = 30  # moves between two looks at clock, price and temperature
STALE = 60  # looks without gain, after which the search goes back to the best

Rooms = list[list[Line]]


@dataclass
class LocalSearch:
    """One task; `take` is given lawful rows that are shorter and says whether it took them."""

    task: Task
    stop: Callable[[], bool]
    take: Callable[[Rooms], bool]
    seed: int = 1
    best: State | None = field(default=None, init=False)  # the shortest that is lawful
    nearest: State | None = field(default=None, init=False)  # the one with the least faults

    def __post_init__(self) -> None:
        """Prepare the rules of the task."""
        self.maker = RowMaker(self.task)
        self.evaluation = Evaluation(self.maker)
        self.moves = Moves(self.maker, self.evaluation, Random(self.seed))

    def begin(self, rooms: Sequence[Sequence[Line]]) -> State | None:
        """Return rows that were found in another way as a state; None where they do not fit."""
        found: list[list[Row]] = []
        for room, lines in zip(self.task.vehicles, rooms, strict=True):
            rows: list[Row] = []
            for line in lines:
                pieces = [self.maker.piece(one.stack) for one in line.standings]
                row = self.maker.row(pieces, room.width_um)
                if row is not None:
                    rows.append(row)
                else:
                    rows += recreated(self.maker, pieces, room.width_um, self.moves.draw)
            found.append(sorted_rows(rows))
        state = state_of(self.evaluation, found)
        parts = sum(piece.parts for piece in state.pieces())
        return state if parts == len(self.task.cases) else None

    @property
    def bare(self) -> Task:
        """The task with cases whose wishes bind rows, not stacks."""
        return self.task.only(self.maker.bare.values())

    def from_stacks(self, stacks: Sequence[Stack]) -> State | None:
        """Return rows of stacks, however long, each vehicle as full as the one before allows."""
        waiting = [self.maker.piece(stack) for stack in stacks]
        found: list[list[Row]] = []
        last = len(self.task.vehicles) - 1
        for index, room in enumerate(self.task.vehicles):
            mine = [piece for piece in waiting if index in piece.rooms]
            rows = recreated(self.maker, mine, room.width_um, self.moves.draw)
            kept, length, mass, parts = [], 0, 0, 0
            for row in sorted_rows(rows):
                wished = any(len(piece.rooms) == 1 for piece in row.pieces)
                fits = length + row.depth <= room.length_um
                fits &= within(mass + row.mass_g, room.payload_g, parts + row.parts)
                if index == last or wished or fits:
                    kept.append(row)
                    length, mass = length + row.depth, mass + row.mass_g
                    parts += row.parts
            found.append(kept)
            there = {piece.number for row in kept for piece in row.pieces}
            waiting = [piece for piece in waiting if piece.number not in there]
        return None if waiting else state_of(self.evaluation, found)

    def run(
        self,
        state: State,
        share_left: Callable[[], float],
        target: int = 0,
        begin: float = HOT,
    ) -> None:
        """Search on until `stop`; `share_left`: the part of the time that is left.

        Ends when a lawful load is no longer than `target`. `begin`: the first temperature.
        """
        rows = max(1, sum(map(len, state.rooms)))
        mean = max(1.0, state.length / rows)
        weight = FAULT * mean
        draw = self.moves.draw
        now, kept, stale = state, state, 0
        self._note(state)
        while not self.stop() and (self.best is None or self.best.length > target):
            heat = mean * COLD * (begin / COLD) ** max(0.0, min(1.0, share_left()))
            lawful = 0
            value = now.value(weight)
            for _ in range(LOOK):
                other = self.moves.neighbour(now)
                if other is None:
                    continue
                worse = other.value(weight) - value
                if worse <= 0 or draw.random() < exp(-worse / heat):
                    now, value = other, value + worse
                    if self._note(now):
                        kept, stale = now, 0
                lawful += now.faults <= 0
            stale += 1
            weight *= DEARER if not lawful else CHEAPER if lawful > LOOK // 2 else 1.0
            weight = min(max(weight, 0.3 * mean), 200 * mean)
            if stale > STALE:
                now, stale = self.best or self.nearest or kept, 0

    def _note(self, state: State) -> bool:
        """Keep a state that is better than all before; return whether it is."""
        if state.faults > 0:
            nearest = self.nearest
            if nearest is None or (state.faults, state.length) < (nearest.faults, nearest.length):
                self.nearest = state
                return self.best is None
            return False
        if self.best is not None and state.length >= self.best.length:
            return False
        if not self.take(self.rooms_of(state)):
            return False
        self.best = state
        return True

    def rooms_of(self, state: State) -> Rooms:
        """Return the rows of a state with the cases as the show has them."""
        found: Rooms = []
        for index, rows in enumerate(state.rooms):
            start, lines = 0, []
            for row in rows:
                stands = self.evaluation.standing(index, row, start) or row
                lines.append(with_wishes(stands.line(), self.task.cases))
                start += stands.depth
            found.append(lines)
        return found


def first_lawful(task: Task, clock: Clock, take: Callable[[Rooms], bool]) -> None:
    """Search from greedy stacks until `take` is given, and takes, a first lawful plan."""
    whole = max(1e-3, clock.left())
    search = LocalSearch(task, clock.over, take)
    state = search.from_stacks(build_stacks(search.bare))
    if state is not None:
        search.run(state, lambda: clock.left() / whole, target=1_000 * state.length)
