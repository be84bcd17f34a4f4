"""What to answer when not everything can go: why, how much is short, what to leave."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import accumulate

from server.core.base.units import from_g, from_um, within
from server.core.planner.construction.vehicle_sets import Attempt, greedy_loads
from server.core.planner.exact.removal import cheapest_removal
from server.core.planner.exact.search import ExactSearch
from server.core.planner.fleet import Fleet, ordered
from server.core.planner.improvement.finisher import Finisher
from server.core.planner.improvement.row_order import order_rows
from server.core.planner.infeasibility.conflict import explain_axles
from server.core.planner.infeasibility.partial_plan import Parts, against_alone, contradictions
from server.core.planner.infeasibility.rejection import CRITERIA, Criterion, Rest, leaver
from server.core.planner.infeasibility.rejection_bound import Costs, Prover
from server.core.planner.local_search.annealing import first_lawful
from server.core.planner.problem.answer import NoPlan, WayOut
from server.core.planner.problem.deadline import Clock
from server.core.planner.problem.model import Line, Load, Task, as_loads
from server.core.planner.problem.plan_writer import make_plan
from server.core.planner.problem.support_limits import window_of
from server.core.planner.search import FleetSearch
from server.core.shop.case import Case
from server.core.shop.plan import LeftOut, Plan
from server.core.shop.show import Show

MOST_CHOSEN = 400  # cases of which what stays is chosen together with stacks and rows
FOR_HEAVIEST = 0.15  # of the time, to plan what is left when the heaviest stay
MORE_LEFT = (0, 1, 2, 4, 8, 16, 32)  # cases beyond the least number that the payload asks
ENDLESS = 20  # times its length: a vehicle that is long enough for anything


@dataclass(frozen=True)
class Sure:
    """What goes and what stays by one criterion, and whether no smaller set would do."""

    criterion: Criterion
    rest: Rest
    proven: bool


def _rank(rest: Rest, cost: Costs) -> tuple[int, ...]:
    """Return what makes one set smaller than another; of two that cost the same the lighter."""
    return cost.of(rest.left), len(rest.left), sum(case.mass_g for case in rest.left)


def _codes(cases: Iterable[Case]) -> frozenset[str]:
    return frozenset(case.code for case in cases)


@dataclass
class Refusal:
    """One refusal being put together."""

    show: Show
    task: Task
    misfits: Sequence[LeftOut]
    clock: Clock
    finisher: Finisher
    exact: ExactSearch | None = None

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
            rests = self._rests(parts)
        elif self.task.cases and not (short or over):
            told, ways = explain_axles(self.show, self.task)
            reasons += told
        best = min((one.rest for one in rests), key=_loss, default=None)
        if best is None:
            whole = self.attempt(self.task, 0.3).loads if self.misfits else None
            if whole is not None:
                best = Rest([list(load.lines) for load in whole], [])
            elif not (short or over):
                best, told = parts.without_wishes()
                reasons += told
            best = parts.refilled(best or parts.greedy(), self.clock.over)
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
        search = FleetSearch(
            replace(self.task, vehicles=longer),
            self.clock.part(0.1),
            lambda rooms: [list(lines) for lines in rooms],
            lambda _: True,
        )
        search.run_columns()
        there = sum(vehicle.length_um for vehicle in self.task.vehicles)
        return max(0, (search.best.length or 0) - there)

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

    def _rests(self, parts: Parts) -> list[Sure]:
        """Return what goes and what stays by each criterion, the smallest of all found."""
        kept = [self._without_heaviest()]
        if kept == [None] or len(self.task.cases) <= MOST_CHOSEN:
            leave = leaver(self.task, self.clock)
            rests = [leave(one.cost) for one in CRITERIA if not self.clock.over()]
            kept += [parts.of_rest(rest) for rest in rests if rest and not self.clock.over()]
        known = {_codes(rest.left): rest for rest in kept if rest is not None}
        if not known:
            return []

        def goes(stays: Sequence[Case]) -> bool | None:
            """Plan what such a set lets go; keep it if it goes, and say False if it never can."""
            if len(self.task.cases) > MOST_CHOSEN or self.clock.over():
                return None
            codes = _codes(stays)
            tried = self.attempt(
                self.task.only(c for c in self.task.cases if c.code not in codes), 0.3
            )
            if tried.loads is not None:
                known[codes] = Rest([list(load.lines) for load in tried.loads], list(stays))
                return True
            return False if tried.impossible else None

        prover = Prover(self.task, self.clock, goes)
        found = []
        for one in CRITERIA:
            cost = Costs(self.task.cases, one.price)
            least = min(known.values(), key=lambda rest: _rank(rest, cost))
            answer = prover.prove(least.left, one.price)
            found.append(Sure(one, known[_codes(answer.left)], answer.proven))
        return found

    def _without_heaviest(self) -> Rest | None:
        """Return what goes when as few cases as the payload asks are left, or a few more."""
        over = self._over_g()
        if not over:
            return None
        ranked = sorted(self.task.cases, key=lambda case: (-case.mass_g, case.code))
        masses = accumulate(case.mass_g for case in ranked)
        least = 1 + next(i for i, mass in enumerate(masses) if mass >= over)
        for more in MORE_LEFT:
            left = ranked[: least + more]
            found: list[list[list[Line]]] = []

            def take(rooms: list[list[Line]], found: list[list[list[Line]]] = found) -> bool:
                found.append(rooms)
                return True

            part = self.clock.part(FOR_HEAVIEST)
            first_lawful(self.task.only(ranked[least + more :]), part, take)
            if found:
                return Rest(found[0], left)
            if self.clock.over():
                break
        return None

    def _way(self, one: Sure) -> WayOut:
        return WayOut(
            by=one.criterion.name,
            codes=tuple(sorted(_codes(one.rest.left))),
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
