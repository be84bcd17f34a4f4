"""Rows of stacks as they are, and rows around those in hand: no choice of stacks in here."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from server.core.planner.bounds.area_relaxation import is_covered
from server.core.planner.bounds.floor_area import area_bound
from server.core.planner.column_generation.covering import Demand
from server.core.planner.column_generation.gap_enumeration import Found, shortest_rows
from server.core.planner.column_generation.row_problem import (
    fill_patterns,
    make_problem,
    sort_stacks,
)
from server.core.planner.construction.greedy_stacks import build_stacks
from server.core.planner.lid_runs.formulation import RunDemand
from server.core.planner.local_search.annealing import HOT, WARM, LocalSearch
from server.core.planner.problem.deadline import Clock
from server.core.planner.problem.incumbent import Best
from server.core.planner.problem.model import Line, Stack, Task, length_of
from server.core.shop.vehicle import Vehicle

Ready = tuple[Demand, list[list[Stack]], Sequence[Stack]]


class ReadyRows:
    """Keeps the incumbent `best`; each better one is told to `heard`, which may refuse it."""

    def __init__(
        self,
        task: Task,
        clock: Clock,
        lawful: Callable[[list[list[Line]]], list[list[Line]] | None],
        heard: Callable[[Best], bool],
    ) -> None:
        self.task = task
        self.vehicles: Sequence[Vehicle] = task.vehicles
        self.clock = clock
        self.lawful = lawful
        self.heard = heard
        self.best = Best(bound=area_bound(task))
        self.bind = len(task.vehicles) > 1
        self.room = sum(vehicle.length_um for vehicle in task.vehicles)
        self.covered = is_covered(task)
        self.broken: set[int] = set()  # stacks that real masses broke
        self.runs: RunDemand | None = None
        self.runs_too_many = False
        self.fractional = False  # the bound of runs in fractions is known
        self.bounded = False  # the bound over every lawful plan is as good as it gets
        self.unordered: list[list[Line]] | None = None  # the shortest rows without a lawful order
        self.local: LocalSearch | None = None
        self.turns = 0  # of the local search, begun from either of the rows above in turn
        self.ready: dict[tuple[int, ...], Ready] = {}  # row problems of stacks as they are

    def take_first(self, rooms: list[list[Line]] | None) -> None:
        """Take rows that another way has found, if they are lawful and shorter."""
        if rooms is not None:
            self.take(rooms)

    def is_closed(self) -> bool:
        """Return whether nothing is left to be found or to be proven."""
        return self.best.proven or self.best.impossible or self.best.bound > self.room

    def _settled(self) -> bool:
        return self.is_closed() or self.clock.over()

    def _done(self) -> bool:
        """Return whether nothing is left to be found, or no time to find it."""
        length = self.best.length
        return self._settled() or (length is not None and length <= self.best.reach)

    def take(self, rooms: list[list[Line]]) -> bool:
        """Keep rows if they are shorter and lawful."""
        length = sum(length_of(lines) for lines in rooms)
        if self.best.length is not None and length >= self.best.length:
            return False
        ordered = self.lawful(rooms)
        if ordered is None:
            before = self.unordered
            if before is None or length < sum(length_of(lines) for lines in before):
                self.unordered = rooms
            return False
        return self.take_ordered(ordered)

    def take_ordered(self, rooms: list[list[Line]]) -> bool:
        """Keep rows in a lawful order if they are shorter, and if the judge passes them."""
        length = sum(length_of(lines) for lines in rooms)  # axles may ask for longer rows
        if self.best.length is not None and length >= self.best.length:
            return False
        before, self.best.rooms = self.best.rooms, rooms
        if not self.heard(self.best):
            self.best.rooms = before
            return False
        return True

    def locally(self, share: float) -> None:
        """Search around the shortest rows, lawful or not, until a share of the time is over."""
        clock = self.clock.part(share)
        whole = max(1e-3, clock.left())
        if self.local is None:
            self.local = LocalSearch(self.task, clock.over, self.take_ordered)
        self.local.stop = clock.over
        self.turns += 1
        known = [rooms for rooms in (self.unordered, self.best.rooms) if rooms is not None]
        states = [state for rooms in known if (state := self.local.begin(rooms)) is not None]
        heat = WARM
        if not states:
            stacks = self.local.from_stacks(build_stacks(self.local.bare))
            states, heat = [] if stacks is None else [stacks], HOT
        if states:
            state = states[self.turns % len(states)]
            self.local.run(state, lambda: clock.left() / whole, self.best.bound, heat)

    def rows_of(self, stacks: Sequence[Stack], share: float = 0.25) -> Found:
        """Find the shortest rows for stacks as they are."""
        key = tuple(id(stack) for stack in stacks)
        if key not in self.ready:
            kinds, members = sort_stacks(self.vehicles, stacks)
            self.ready[key] = Demand(make_problem(self.vehicles, kinds)), members, stacks
        demand, members, _ = self.ready[key]
        problem = demand.problem
        found = shortest_rows(problem, demand, self.clock.part(share), bind_lengths=self.bind)
        if found.chosen is not None and found.chosen.rows:
            self.take(fill_patterns(problem, found.chosen.rows, members))
        return found


def has_rules_of_order(task: Task) -> bool:
    """Return whether rules bind that the columns do not know: order, axles, neighbours."""
    return (
        len(task.vehicles) > 1
        or any(room.axles is not None or room.narrow for room in task.vehicles)
        or any(case.near or case.together or case.never_beside for case in task.cases)
    )
