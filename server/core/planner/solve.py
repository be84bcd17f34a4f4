"""solve(show) → Plan, or NoPlan with reasons and ways out."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from server.core.planner.bounds.floor_area import area_bound
from server.core.planner.construction.vehicle_sets import greedy_loads, sets_of_vehicles
from server.core.planner.improvement.finisher import Finisher
from server.core.planner.problem.answer import NoPlan
from server.core.planner.problem.deadline import Clock
from server.core.planner.problem.model import Load, Task, as_loads
from server.core.planner.problem.plan_writer import make_plan
from server.core.planner.problem.single_case import why_no_vehicle
from server.core.planner.unknown_mass import UnknownMasses
from server.core.shop.plan import LeftOut, Plan
from server.core.shop.show import Show

if TYPE_CHECKING:
    from server.core.planner.exact.search import Answer, ExactSearch

NOT_YET = "not in the plan so far"
FOR_FIRST = 0.08  # of the time is the most that a local search for a first plan may take
FOR_RELAXED = 0.1  # of the time is the most that the certificate's relaxation may take
FOR_EXACT = 0.6  # of the time is the most that the exact search of a small show may take
FINISH = 3.0  # times what the first plan took to write is kept to write the last one
MOST_FINISH = 0.3  # of the time

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
    clock = Clock.of(seconds, should_stop)
    if not UnknownMasses.matter(show):
        return Solver(show, clock, on_progress, seconds).solve()

    def whole(worst: Show, part: Clock, heard: Progress) -> Plan | None:
        return Solver(worst, part, heard, seconds).whole()

    def stated(same: Show, rest: Clock, heard: Progress) -> Plan | NoPlan:
        return Solver(same, rest, heard, seconds).solve()

    return UnknownMasses(show, clock, on_progress).answer(whole, stated)


@dataclass
class Solver:
    """One planning of one show. The incumbent is lawful, holds everything, and only gets better."""

    show: Show
    clock: Clock
    on_progress: Progress | None = None
    seconds: float = 0.0
    finisher: Finisher = field(init=False)
    best: Plan | None = field(default=None, init=False)
    loads: Sequence[Load] = field(default=(), init=False)  # those of the incumbent
    writing: float = field(default=0.0, init=False)  # seconds that a plan took to write
    is_small: bool = field(default=False, init=False)  # the exact search took it on
    refuses: bool = field(default=True, init=False)  # what to leave is looked for
    fewer_open: bool = field(default=False, init=False)  # fewer vehicles are not ruled out
    misfits: Sequence[LeftOut] = field(default=(), init=False)  # cases that no vehicle takes
    fewest: int | None = field(default=None, init=False)  # cases left by a part that was announced

    def __post_init__(self) -> None:
        """Take the rules of the show."""
        self.finisher = Finisher(self.show)

    def whole(self) -> Plan | None:
        """Return a plan of everything, or None; no time is spent on what to leave."""
        self.refuses = False
        answer = self.solve()
        return answer if isinstance(answer, Plan) else None

    def solve(self) -> Plan | NoPlan:
        """Greedy rows at once; then exactly if the show is small, else by column generation."""
        task = Task.of(self.show)
        self.misfits = [
            LeftOut(case.code, reason)
            for case in self.show.cases
            if (reason := why_no_vehicle(case, task)) is not None
        ]
        out = {one.code for one in self.misfits}
        task = task.only(case for case in self.show.cases if case.code not in out)
        if self.misfits:
            if task.cases:
                self._greedy(task)
            return self._refuse(task, proven=True)
        if not task.cases:
            return make_plan((), 0)
        self._greedy(task)
        self._keep_time_to_finish()
        answer = self._exactly(task)
        return answer if answer is not None else self._by_columns(task)

    def announce(self, loads: Sequence[Load], bound: int) -> bool:
        """Take better loads as the incumbent; return whether they are lawful."""
        used = sum(bool(load.lines) for load in loads)
        length = sum(load.length for load in loads)
        best = self.best
        if best is not None and (used, length) >= (len(best.vehicles), best.floor_length_um):
            return True
        before = self.clock.left()
        plan = self.finisher.announced(loads, bound)
        self.writing = max(self.writing, before - self.clock.left())
        if plan is None:
            return False
        self.best, self.loads = plan, loads
        if self.on_progress is not None:
            self.on_progress(plan)
        return True

    def announce_part(self, loads: Sequence[Load], left: Sequence[LeftOut]) -> None:
        """Announce a lawful plan of a part, while no whole one is known, if it leaves fewer."""
        left = [*self.misfits, *left]
        if self.on_progress is None or self.best is not None:
            return
        if self.fewest is not None and len(left) >= self.fewest:
            return
        plan = self.finisher.announced(loads, 0, left)
        if plan is not None:
            self.fewest = len(left)
            self.on_progress(plan)

    def _greedy(self, task: Task) -> None:
        """Announce a first plan, if rows of greedy stacks can be put in a lawful order."""
        from server.core.planner.fleet import ordered

        loads, left = greedy_loads(task, task.vehicles)
        loaded = {case.code for load in loads for line in load.lines for case in line.cases}
        lost = [case.code for case in task.cases if case.code not in loaded]
        there = task.only(case for case in task.cases if case.code in loaded)
        stop = self.clock.part(FOR_FIRST).over
        rooms = ordered([load.lines for load in loads], there, stop)
        if rooms is not None:
            known = as_loads(task.vehicles, rooms)
            if left or lost or self.misfits:
                self.announce_part(known, [LeftOut(code, NOT_YET) for code in lost])
            else:
                self.announce(known, 0)
        if (
            self.best is None
            and not self.misfits
            and next(sets_of_vehicles(task), None) is not None
        ):
            self._repair(task)

    def _repair(self, task: Task) -> None:
        """Announce the first lawful plan that a local search from greedy rows comes upon."""
        from server.core.planner.local_search.annealing import first_lawful

        first_lawful(
            task,
            self.clock.part(FOR_FIRST),
            lambda rooms: self.announce(as_loads(task.vehicles, rooms), 0),
        )

    def _keep_time_to_finish(self) -> None:
        """End the search early enough to write the best plan within the limit."""
        whole = self.clock
        kept = min(FINISH * self.writing, MOST_FINISH * whole.left())
        self.clock = Clock(lambda: whole.left() - kept)

    def _exactly(self, task: Task) -> Plan | NoPlan | None:
        """Return the answer of the exact search; None where it has none in its time."""
        from server.core.planner.exact.search import ExactSearch, is_small

        if not is_small(task):
            return None
        self.is_small = True
        search = ExactSearch(task, self.clock.part(FOR_EXACT).over)
        search.prepare()
        found = self._known(search, task)
        if self.best is not None:
            return self._final(found.bound) if found.proven or search.complete else None
        if not search.complete:
            return None
        return self._refuse(task, proven=found.proven, exact=search)

    def _known(self, search: ExactSearch, task: Task) -> Answer:
        """Announce what the exact search found; if the judge objects, search what it allows."""
        from server.core.planner.exact.search import ExactSearch

        found = search.answer()
        if found.rooms is None or self.announce(found.loads(task), found.bound):
            return found
        again = ExactSearch(
            task, self.clock.part(FOR_EXACT).over, keep_all=True, allowed=self.finisher.allows
        )
        again.prepare()
        other = again.answer()
        if other.rooms is not None:
            self.announce(other.loads(task), found.bound)
        return replace(other, bound=found.bound, proven=False)

    def _by_columns(self, task: Task) -> Plan | NoPlan:
        from server.core.planner.fleet import Fleet

        clock = self.clock.part(1 - FOR_RELAXED)
        attempt = Fleet(self.announce, clock, self.loads).fewest(task)
        if attempt.loads is not None:
            self.announce(attempt.loads, attempt.bound)
        if self.best is not None:
            open_ = attempt.fewer_open or attempt.loads is None
            self.fewer_open = open_ and len(self.best.vehicles) > 1
            return self._final(attempt.bound)
        return self._refuse(task, proven=attempt.impossible)

    def _final(self, bound: int) -> Plan:
        """Return the incumbent with straighter rows and the heavy low."""
        assert self.best is not None
        floor_um = self.best.floor_length_um
        bound = max(bound, min(floor_um, area_bound(Task.of(self.show))))
        if bound < floor_um and not self.is_small:
            from server.core.planner.bounds.certified import RelaxedBound

            relaxed = RelaxedBound(self.show, self.clock.part(0.9).over)
            bound = max(bound, relaxed.up_to(floor_um))
        if self.fewer_open:  # a plan on fewer vehicles may take more floor: nothing is proven
            bound = min(bound, floor_um - 1)
        if not self.is_small:
            self.best = replace(self.best, lower_bound_um=bound, proven=bound >= floor_um)
        plan = self.finisher.settled(self.loads, bound)
        return plan if plan is not None else self.best

    def _refuse(self, task: Task, *, proven: bool, exact: ExactSearch | None = None) -> NoPlan:
        if not self.refuses:
            return NoPlan((), 0, 0, (), make_plan((), 0), proven=proven)
        from server.core.planner.infeasibility.refusal import Refusal

        refusal = Refusal(self.show, task, self.misfits, self.clock, self.finisher, exact=exact)
        refusal.heard = self.announce_part
        return replace(refusal.answer(proven=proven), seconds=self.seconds)
