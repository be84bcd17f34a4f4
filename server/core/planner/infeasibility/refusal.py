"""What to answer when not everything can go: why, how much is short, what to leave."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from server.core.base.units import from_g, from_um, within
from server.core.planner.construction.vehicle_sets import Attempt, greedy_loads
from server.core.planner.exact.removal import cheapest_removal
from server.core.planner.exact.search import ExactSearch
from server.core.planner.fleet import Fleet, ordered
from server.core.planner.improvement.finisher import Finisher
from server.core.planner.improvement.row_order import order_rows
from server.core.planner.infeasibility.binding_rules import binding_rules
from server.core.planner.infeasibility.conflict import explain_axles
from server.core.planner.infeasibility.partial_plan import Parts, against_alone, contradictions
from server.core.planner.infeasibility.rejection import CRITERIA, Rest
from server.core.planner.infeasibility.smallest_sets import SmallestSets, Sure
from server.core.planner.problem.answer import NoPlan, WayOut
from server.core.planner.problem.deadline import Clock
from server.core.planner.problem.model import Load, Task, as_loads, length_of
from server.core.planner.problem.plan_writer import make_plan
from server.core.planner.problem.support_limits import window_of
from server.core.planner.search import FleetSearch
from server.core.shop.case import Case
from server.core.shop.plan import LeftOut, Plan
from server.core.shop.show import Show

FOR_LENGTH = 0.1  # of the time, to find how long the rows of everything are
FOR_REASONS = 0.1  # of the time, to find which rules contradict
FOR_SHORTER = 0.1  # of the time, to shorten the rows of what loads
ENDLESS = 20  # times its length: a vehicle that is long enough for anything


@dataclass
class Refusal:
    """One refusal being put together."""

    show: Show
    task: Task
    misfits: Sequence[LeftOut]
    clock: Clock
    finisher: Finisher
    exact: ExactSearch | None = None
    heard: Callable[[Sequence[Load], Sequence[LeftOut]], None] | None = None  # of partial plans

    def attempt(self, task: Task, share: float) -> Attempt:
        """Plan a part of the load."""
        return Fleet(lambda *_: True, self.clock).attempt(task, share)

    def answer(self, *, proven: bool) -> NoPlan:
        """Return reasons, what is short, ways out, and the best plan of what loads.

        `proven`: the search has proven that there is no plan; payload and wishes may still.
        """
        over, short = self._over_g(), self._short_um()
        proven |= bool(self.misfits) or over > 0 or against_alone(self.task)
        proven |= self._never_on_axles()
        reasons = [f"{one.code}: {one.reason}" for one in self.misfits]
        reasons += self._reasons(short, over, proven=proven)
        if len(self.task.vehicles) == 1:
            reasons += [text for _, text in contradictions(self.task.cases)]
        parts = Parts(self.task, ordered, self.attempt)
        rests: list[Sure] = [] if self.exact is None else self._exact_rests(self.exact)
        ways: list[WayOut] = []
        if not rests and (short or over):
            rests = SmallestSets(
                self.task, self.clock, over, self.attempt, self._hear
            ).by_each_criterion(parts)
        elif self.task.cases and not (short or over):
            told, ways = explain_axles(self.show, self.task)
            reasons += told
        if self.exact is not None and not reasons:
            reasons += binding_rules(self.task, self.clock.part(FOR_REASONS).over)
        best = min((one.rest for one in rests), key=_loss, default=None)
        if best is not None and self.exact is None:
            best = self._shortened(best)
        if best is None:
            whole = self.attempt(self.task, 0.3).loads if self.misfits else None
            if whole is not None:
                best = Rest([list(load.lines) for load in whole], [])
            elif not (short or over):
                best, told = parts.without_wishes()
                reasons += told
            best = parts.refilled(best or parts.greedy(self.clock.over), self.clock.over)
            if best.left:
                ways.append(self._way(Sure(CRITERIA[0], best, proven=False)))
        why = "; ".join(reasons[len(self.misfits) :]) or "no lawful place for it was found"
        left = [LeftOut(case.code, why) for case in best.left]
        plan = self._plan(best, [*self.misfits, *left])
        ways += [self._way(one) for one in rests]
        return NoPlan(
            reasons=tuple(dict.fromkeys(reasons)) or (why,),
            short_um=short,
            over_g=over,
            ways_out=tuple(ways),
            best=plan,
            second=self._second(best.left),
            proven=proven,
        )

    def _plan(self, rest: Rest, left: Sequence[LeftOut]) -> Plan:
        """Return the plan of what loads; if the judge objects to it, a plan of nothing."""
        plan = self.finisher.settled(as_loads(self.task.vehicles, rest.rooms), 0, left)
        if plan is not None:
            return plan
        codes = {one.code for one in left}
        more = [
            LeftOut(case.code, "no lawful place for it was found")
            for case in self.show.cases
            if case.code not in codes
        ]
        return make_plan((), 0, left_out=[*left, *more])

    def _hear(self, rest: Rest) -> None:
        """Announce what loads while the rest is still looked for."""
        if self.heard is not None:
            loads = as_loads(self.task.vehicles, rest.rooms)
            self.heard(loads, [LeftOut(case.code, "to be left") for case in rest.left])

    def _shortened(self, rest: Rest) -> Rest:
        """Return the same part with shorter rows, if a short search finds them."""
        left = {case.code for case in rest.left}
        kept = self.task.only(case for case in self.task.cases if case.code not in left)
        loads = self.attempt(kept, FOR_SHORTER).loads
        if loads is None or sum(load.length for load in loads) >= sum(map(length_of, rest.rooms)):
            return rest
        return Rest([list(load.lines) for load in loads], rest.left)

    def _exact_rests(self, search: ExactSearch) -> list[Sure]:
        """Return the smallest set to leave by each criterion, over every load of every part."""
        search.widen()
        found = []
        for one in CRITERIA:
            cheapest = cheapest_removal(search, one.price)
            if cheapest is not None:
                found.append(Sure(one, Rest(*cheapest), proven=search.exact))
        return found

    def _never_on_axles(self) -> bool:
        """Return whether the only vehicle's axle limits contradict each other under this mass."""
        if len(self.task.vehicles) != 1 or not self.task.cases:
            return False
        mass = sum(case.mass_g for case in self.task.cases)
        return window_of(self.task.vehicles[0], mass, len(self.task.cases)) is None

    def _over_g(self) -> int:
        payloads = [vehicle.payload_g for vehicle in self.task.vehicles]
        if None in payloads:
            return 0
        mass = sum(case.mass_g for case in self.task.cases)
        limit = sum(one for one in payloads if one is not None)
        return 0 if within(mass, limit, len(self.task.cases)) else mass - limit

    def _short_um(self) -> int:
        """Return the length missing if everything went, had the vehicles been long enough."""
        if not self.task.cases:
            return 0
        longer = tuple(
            replace(v, length_um=v.length_um * ENDLESS, payload_g=None, axles=None, narrow=())
            for v in self.task.vehicles
        )
        endless = replace(self.task, vehicles=longer)
        there = sum(vehicle.length_um for vehicle in self.task.vehicles)
        loads, left = greedy_loads(endless, longer)
        greedy = sum(load.length for load in loads)
        if not left and greedy <= there:
            return 0
        if self.clock.over():
            return greedy - there
        search = FleetSearch(
            endless,
            self.clock.part(FOR_LENGTH),
            lambda rooms: [list(lines) for lines in rooms],
            lambda _: True,
        )
        search.run_columns()
        shortest = search.best.length
        return max(0, (greedy if shortest is None else shortest) - there)

    def _reasons(self, short: int, over: int, *, proven: bool) -> list[str]:
        units, names = self.show.units, ", ".join(v.id for v in self.task.vehicles)
        found = []
        if over:
            mass = f"{from_g(over, units.mass):,.0f} {units.mass}"
            found.append(f"the payload of {names} is exceeded by {mass}")
        if short:
            length = f"{round(from_um(short, units.length), 2):g} {units.length}"
            if proven:
                found.append(f"the floor of {names} is {length} too short")
            else:
                found.append(
                    f"the shortest rows found are {length} longer than the floor of {names}"
                )
        return found

    def _way(self, one: Sure) -> WayOut:
        return WayOut(
            by=one.criterion.name,
            codes=tuple(sorted(case.code for case in one.rest.left)),
            mass_g=sum(case.mass_g for case in one.rest.left),
            floor_um2=sum(case.length_um * case.width_um for case in one.rest.left),
            proven=one.proven,
        )

    def _second(self, left: Sequence[Case]) -> Plan | None:
        """Return what a further vehicle like the largest one would carry of what stays."""
        if not left or not self.task.vehicles:
            return None
        largest = max(self.task.vehicles, key=lambda v: v.width_um * v.length_um)
        again = replace(largest, id=f"{largest.id} once more")
        freed = [replace(case, vehicle=None) for case in left]
        part = Task(self.show.rules, (again,), tuple(freed))
        loads, _ = greedy_loads(part, (again,))
        lines = order_rows(again, loads[0].lines)
        if lines is None:
            return None
        placed = {case.code for line in lines for case in line.cases}
        unplaced = [
            LeftOut(case.code, "not in a second one either")
            for case in left
            if case.code not in placed
        ]
        return make_plan([Load(again, lines)], 0, left_out=unplaced)


def _loss(rest: Rest) -> tuple[int, int]:
    """Return how many cases that must go stay, then how many at all."""
    return sum(case.priority == "must" for case in rest.left), len(rest.left)
