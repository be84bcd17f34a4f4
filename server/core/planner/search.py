"""The shortest rows for some vehicles: stacks first, then stacks and rows chosen as one."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from server.core.planner.bounds.area_relaxation import loose_demand
from server.core.planner.bounds.plain_stacks import stacks_are_plain
from server.core.planner.column_generation.covering import OpenDemand, open_demand
from server.core.planner.column_generation.decode import realise
from server.core.planner.column_generation.gap_enumeration import (
    Found,
    fractional_bound,
    shortest_rows,
)
from server.core.planner.column_generation.row_problem import Pattern
from server.core.planner.construction.greedy_stacks import build_stacks
from server.core.planner.construction.insertion import insert_cases
from server.core.planner.lid_runs.columns import run_demand
from server.core.planner.lid_runs.decode import seat_cases
from server.core.planner.lid_runs.formulation import RunDemand
from server.core.planner.problem.deadline import Clock
from server.core.planner.problem.model import Line, Task
from server.core.planner.ready_rows import ReadyRows, has_rules_of_order
from server.core.planner.stacking.item_types import Twins, find_twins
from server.core.planner.stacking.stack_enumeration import BenchFinder
from server.core.planner.stacking.tower_enumeration import TooMany
from server.core.shop.case import Case

COARSE_WORK = 250_000  # trials of riders on lids
FINE_WORK = 120_000
MOST_BANS = 12
FOR_BOUND = 0.35  # of the time for a first bound, once a lawful plan is in hand
FOR_FIRST = 0.5  # of the time for a first lawful plan
FOR_READY = 0.4  # of the time for rows of ready stacks, which one of those rules may refuse
FOR_LOCAL = 0.3  # of the time, before the columns and after them, where rules of order bind


class FleetSearch(ReadyRows):
    """Improves `best` step by step: columns over runs of lids, over stacks, and local search."""

    def run(self) -> None:
        """Search on: columns, and where other rules bind as well, a local search around them."""
        rules = has_rules_of_order(self.task)
        if rules and self.best.rooms is not None and not self._done():
            self.bound_in_fractions(FOR_BOUND)
        if rules and not self._done():
            self.rows_of(build_stacks(self.task), share=FOR_READY)
            self.locally(FOR_LOCAL if self.best.rooms else FOR_FIRST)
        whole = self.clock
        self.clock = whole.part(1 - FOR_LOCAL if rules else 1.0)
        if not self._settled():
            self.run_columns()
        self.clock = whole
        if not self._settled():
            self.locally(0.97)

    def run_columns(self) -> None:
        """Choose rows of ready stacks, then stacks and rows as one."""
        stacks = build_stacks(self.task)
        if stacks_are_plain(self.task):
            found = self.rows_of(stacks, share=0.95)
            self.best.bound = max(self.best.bound, found.bound)
            self.best.impossible |= found.missing
            return
        self.rows_of(stacks)
        known = not self._done() and self.in_runs(0.6 if self.bind else 0.97)
        if not (self.covered or known):
            self.bound_loosely(0.12)
        if not self._done():
            self.jointly(fine=False)
        if not (self.covered or known) and not self._settled():
            self.bound_loosely(0.5)
        if not self._done():
            self.jointly(fine=True)
        if not (self.covered or known) and not self._settled():
            self.bound_loosely(0.95)

    def bound_in_fractions(self, share: float) -> None:
        """Bound the floor by runs and rows in fractions, before whole ones are looked for."""
        if self.fractional:
            return
        clock = self.clock.part(share)
        demand = self._run_demand(clock)
        if demand is None:
            return
        found = fractional_bound(demand.problem, demand, clock, bind_lengths=self.bind)
        self.best.bound = max(self.best.bound, found.bound)
        self.best.impossible |= found.missing
        self.fractional = found.bound > 0

    def in_runs(self, share: float) -> bool:
        """Choose runs and rows as one, over every plan of the rules; seat the cases afterwards.

        Return False where runs do not cover every plan.
        """
        clock = self.clock.part(share)
        demand = self._run_demand(clock)
        if demand is None:
            return False
        found = self._rows_of_runs(demand, clock)
        self.best.bound = max(self.best.bound, found.bound)
        self.best.impossible |= found.missing
        # Real masses may break a lid that would bear the lightest: then without such stacks.
        for _ in range(MOST_BANS):
            if self._settled() or clock.over() or not self._ban(demand):
                break
            self._rows_of_runs(demand, clock)
        return True

    def _run_demand(self, clock: Clock) -> RunDemand | None:
        """Return the programme of runs, listed once; None where there are too many."""
        if self.runs is None and not self.runs_too_many:
            try:
                self.runs = run_demand(self.task, clock.over)
                self.runs_too_many = self.runs is None
            except TooMany:
                self.runs_too_many = not clock.over()  # with more time there may be few enough
        return self.runs

    def _rows_of_runs(self, demand: RunDemand, clock: Clock) -> Found:
        self.broken = set()
        return shortest_rows(
            demand.problem,
            demand,
            clock,
            at_most=self.best.length,
            bind_lengths=self.bind,
            heard=lambda rows, picked: self._seat(demand, rows, picked),
        )

    def _ban(self, demand: RunDemand) -> bool:
        """Ban the stacks that broke; return whether there are any."""
        demand.banned |= self.broken
        return bool(self.broken)

    def bound_loosely(self, share: float) -> None:
        """Bound the floor over every plan of the rules, those the search cannot make included."""
        if self.bounded:
            return
        try:
            demand = loose_demand(self.task)
        except TooMany:
            self.bounded = True
            return
        found = shortest_rows(
            demand.problem,
            demand,
            self.clock.part(share),
            at_most=self.best.length,
            bind_lengths=self.bind,
        )
        self.best.bound = max(self.best.bound, found.bound)
        self.best.impossible |= found.missing
        self.bounded = found.proven

    def jointly(self, *, fine: bool) -> None:
        """Choose stacks and rows as one; coarse: riders of one size all weigh alike.

        With each twin as light as its lightest the bound is sure and the answer may have to be
        mended; with each as heavy as its heaviest every answer can be loaded as it is.
        """
        twins = find_twins(self.task, fine=fine)
        work = FINE_WORK if fine else COARSE_WORK
        found = self._joint(self.task, twins, lambda one: one.light, work)
        if found is None:
            return
        self.best.reach = max(self.best.reach, found.bound)
        if self.covered:
            self.best.bound = max(self.best.bound, found.bound)
            self.best.impossible |= found.missing
        if self._done():
            return
        if any(one.banded for one in twins):
            # The middle one first: most of its answers can be loaded with little mending.
            for pick in (_middle, _heaviest):
                if not self._done():
                    self._joint(self.task, twins, pick, work)

    def _joint(
        self,
        task: Task,
        twins: Sequence[Twins],
        pick: Callable[[Twins], Case],
        work: int,
    ) -> Found | None:
        try:
            benches = BenchFinder(task, twins, pick).find(work)
        except TooMany:
            return None
        demand = open_demand(self.vehicles, twins, benches)
        return shortest_rows(
            demand.problem,
            demand,
            self.clock.part(0.7),
            at_most=self.best.length,
            bind_lengths=self.bind,
            heard=lambda rows, stacks: self._realise(demand, rows, stacks),
        )

    def _realise(self, demand: OpenDemand, rows: Sequence[Pattern], stacks: Sequence[int]) -> None:
        """Take the rows chosen; if real masses forbid some stack, row the stacks anew."""
        self._take_or_mend(*realise(self.task, demand, rows, stacks))

    def _seat(self, demand: RunDemand, rows: Sequence[Pattern], picked: Sequence[int]) -> None:
        """Take the rows chosen; what found no place is set where there is room, or rowed anew."""
        rooms, left, broken = seat_cases(self.task, demand, rows, picked)
        self.broken |= broken
        self._take_or_mend(rooms, left)

    def _take_or_mend(self, rooms: list[list[Line]], left: list[Case]) -> None:
        if left:
            rooms, left = self._insert(rooms, left)
        if not left:
            self.take(rooms)
            return
        whole = [one.stack for lines in rooms for line in lines for one in line.standings]
        self.rows_of([*whole, *build_stacks(self.task.only(left))])

    def _insert(
        self, rooms: list[list[Line]], left: list[Case]
    ) -> tuple[list[list[Line]], list[Case]]:
        """Find room for cases whose lid would not bear them."""
        for index, vehicle in enumerate(self.vehicles):
            ordered = sorted(rooms[index], key=lambda line: (-line.drops[0], -line.drops[1]))
            mine = [case for case in left if case.vehicle in (None, vehicle.id)]
            part = replace(self.task, vehicles=(vehicle,))
            rooms[index], unplaced = insert_cases(part, ordered, mine, vehicle.width_um)
            left = [case for case in left if case not in mine or case in unplaced]
        return rooms, left


def _middle(one: Twins) -> Case:
    return one.members[one.count // 2]


def _heaviest(one: Twins) -> Case:
    return one.heavy
