"""solve(show) → Plan, or NoPlan with reasons and ways out."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from server.core.judge import judge
from server.core.planner.construction.greedy_stacks import build_stacks
from server.core.planner.construction.vehicle_sets import (
    Attempt,
    greedy_loads,
    sets_of_vehicles,
    too_small,
)
from server.core.planner.construction.wishes import has_wishes, wish_rows, with_wishes
from server.core.planner.improvement.balance import even_out
from server.core.planner.improvement.heavy_low import lower_heavy
from server.core.planner.improvement.row_order import balance_sides, order_rows
from server.core.planner.improvement.straighten import straighten
from server.core.planner.problem.answer import NoPlan
from server.core.planner.problem.deadline import Clock
from server.core.planner.problem.model import Line, Load, Task, length_of
from server.core.planner.problem.plan_writer import StrapsOf, make_plan
from server.core.planner.problem.single_case import why_no_vehicle
from server.core.planner.problem.straps import straps_for
from server.core.shop.plan import LeftOut, Plan
from server.core.shop.show import Show

if TYPE_CHECKING:
    from server.core.planner.search import FleetSearch

FOR_REFUSAL = 0.5  # of the time is kept to say what to leave, while no plan is in hand

Progress = Callable[[Plan], None]
Stop = Callable[[], bool]


def solve(
    show: Show,
    seconds: float = 10.0,
    seed: int = 0,
    on_progress: Progress | None = None,
    should_stop: Stop | None = None,
) -> Plan | NoPlan:
    """Plan a show; `on_progress` hears of each better plan, `should_stop` ends the search early.

    The search draws nothing at random, so every seed gives the same plan; it is an argument so
    that a planner which does may come without a new contract.
    """
    del seed
    return Solver(show, Clock.of(seconds, should_stop), on_progress).solve()


@dataclass
class Solver:
    """One planning of one show."""

    show: Show
    clock: Clock
    on_progress: Progress | None = None
    straps_of: StrapsOf = field(init=False)
    best: Plan | None = field(default=None, init=False)

    def __post_init__(self) -> None:
        """Take the strap rules of the show."""
        self.straps_of = straps_for(self.show)

    def solve(self) -> Plan | NoPlan:
        """Greedy at once, then the fewest vehicles and the shortest rows for them."""
        task = Task.of(self.show)
        misfits = [
            LeftOut(case.code, reason)
            for case in self.show.cases
            if (reason := why_no_vehicle(case, task)) is not None
        ]
        out = {one.code for one in misfits}
        task = task.only(case for case in self.show.cases if case.code not in out)
        if not task.cases:
            plan = make_plan((), 0, left_out=misfits)
            return self._refuse(task, misfits) if misfits else plan
        attempt = self._fewest(task)
        if attempt.loads is None or misfits:
            return self._refuse(task, misfits)
        plan = self.settled(attempt.loads, attempt.bound)
        faults = judge(self.show, plan)
        assert not faults, faults
        return plan

    def _refuse(self, task: Task, misfits: Sequence[LeftOut]) -> NoPlan:
        from server.core.planner.infeasibility.refusal import Refusal

        self.on_progress = None  # plans of a part of the load are for the answer alone
        refusal = Refusal(
            self.show,
            task,
            misfits,
            self.clock,
            finished=self.settled,
            ordered=self.ordered,
            attempt=self._attempt,
        )
        return refusal.answer()

    def _fewest(self, task: Task) -> Attempt:
        """Return the best attempt with the fewest vehicles."""
        if len(task.vehicles) > 1:
            loads, left = greedy_loads(task, task.vehicles)
            rooms = None if left else self.ordered([load.lines for load in loads], task)
            if rooms is None:
                early = self._search(task, self.clock.part(0.1))
                early.rows_of(build_stacks(task))
            else:
                self.say(rooms, 0, task)
        tried: list[Attempt] = []
        sets = list(sets_of_vehicles(task))
        for count in sorted({len(chosen) for chosen in sets}):
            same = [chosen for chosen in sets if len(chosen) == count]
            share = 0.97 / len(same) if count == len(task.vehicles) else 0.6 / len(same)
            now = [self._attempt(replace(task, vehicles=chosen), share) for chosen in same]
            tried += now
            done = [one for one in now if one.loads is not None]
            if done:
                # A smaller set that failed without proof might still do, and with less floor.
                bound = min(one.bound for one in tried if not one.impossible)
                return replace(min(done, key=lambda one: one.length), bound=bound)
            if self.clock.over() and count > 1:
                break
        return Attempt(None, 0)

    def _attempt(self, task: Task, share: float) -> Attempt:
        """Search the shortest rows for one set of vehicles."""
        if too_small(task):
            return Attempt(None, 0, impossible=True)
        loads, left = greedy_loads(task, task.vehicles)
        first = None if left else self.ordered([load.lines for load in loads], task)
        if first is not None:
            self.say(first, 0, task)
        from server.core.planner.search import as_loads

        part = self.clock.part(share)
        reserve = FOR_REFUSAL * part.left()

        def remaining() -> float:
            return part.left() - (reserve if search.best.rooms is None else 0.0)

        search = self._search(task, Clock(remaining))
        search.take_first(first)
        if has_wishes(task):
            search.take_first(wish_rows(task, self._rest_of))
        if any(vehicle.narrow for vehicle in task.vehicles):
            search.take_first(self._rest_of(slimmed(task)))
        search.run()
        if search.best.rooms is None:
            longest = sum(vehicle.length_um for vehicle in task.vehicles)
            impossible = search.best.impossible or search.best.bound > longest
            return Attempt(None, search.best.bound, impossible=impossible)
        return Attempt(as_loads(task.vehicles, search.best.rooms), search.best.bound)

    def _search(self, task: Task, clock: Clock) -> FleetSearch:
        from server.core.planner.search import FleetSearch

        return FleetSearch(
            task,
            clock,
            lambda rooms: self.ordered(rooms, task),
            lambda best: self.say(best.rooms or [], best.bound, task),
        )

    def _rest_of(self, task: Task) -> list[list[Line]] | None:
        """Return rows for a part of the load, ordered by nobody yet."""
        from server.core.planner.search import FleetSearch

        search = FleetSearch(
            task, self.clock.part(0.2), lambda rooms: _inside(task, rooms), lambda _: None
        )
        loads, left = greedy_loads(task, task.vehicles)
        search.take_first(None if left else [list(load.lines) for load in loads])
        search.run()
        return search.best.rooms

    def ordered(self, rooms: Sequence[Sequence[Line]], task: Task) -> list[list[Line]] | None:
        """Return rows in a lawful order in every vehicle, or None."""
        # The search may know cases without their wishes; the order of rows must know them.
        known = [[with_wishes(line, task.cases) for line in lines] for lines in rooms]
        found = [
            order_rows(vehicle, lines) for vehicle, lines in zip(task.vehicles, known, strict=True)
        ]
        if any(lines is None for lines in found):
            return None
        ready = [list(lines) for lines in found if lines is not None]
        loads = [
            Load(vehicle, tuple(lines)) for vehicle, lines in zip(task.vehicles, ready, strict=True)
        ]
        part = replace(self.show, cases=task.cases)
        return None if judge(part, make_plan(loads, 0)) else ready

    def say(self, rooms: Sequence[Sequence[Line]], bound: int, task: Task) -> None:
        """Tell whoever listens of a better plan."""
        if self.on_progress is None:
            return
        loads = [
            Load(vehicle, tuple(lines)) for vehicle, lines in zip(task.vehicles, rooms, strict=True)
        ]
        plan = self.finished(loads, bound)
        if (
            self.best is None
            or len(plan.vehicles) < len(self.best.vehicles)
            or (plan.floor_length_um < self.best.floor_length_um)
        ):
            self.best = plan
            self.on_progress(plan)

    def finished(self, loads: Sequence[Load], bound: int, left_out: Sequence[LeftOut] = ()) -> Plan:
        """Return the plan of loads balanced lengthwise and across, its straps counted."""
        return make_plan(
            [balance_sides(even_out(load)) for load in loads],
            bound,
            left_out=left_out,
            straps_of=self.straps_of,
        )

    def settled(self, loads: Sequence[Load], bound: int, left_out: Sequence[LeftOut] = ()) -> Plan:
        """Return the plan with straighter rows and the heavy low, where the judge allows that."""
        better = [lower_heavy(straighten(load), self.show.rules) for load in loads]
        plan = self.finished(better, bound, left_out)
        return self.finished(loads, bound, left_out) if judge(self.show, plan) else plan


def _inside(task: Task, rooms: list[list[Line]]) -> list[list[Line]] | None:
    """Return rows that are no longer than their vehicles."""
    fit = all(
        length_of(lines) <= vehicle.length_um
        for vehicle, lines in zip(task.vehicles, rooms, strict=True)
    )
    return rooms if fit else None


def slimmed(task: Task) -> Task:
    """Return the task with every vehicle as narrow as its narrowest stretch all along."""
    vehicles = tuple(
        replace(
            vehicle,
            width_um=min([vehicle.width_um, *(stretch.width_um for stretch in vehicle.narrow)]),
            narrow=(),
        )
        for vehicle in task.vehicles
    )
    return replace(task, vehicles=vehicles)
