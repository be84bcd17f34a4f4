"""The smallest sets of cases to leave by each criterion: by mass alone first, then by rows."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from itertools import accumulate

from server.core.planner.construction.vehicle_sets import Attempt
from server.core.planner.infeasibility.partial_plan import Parts
from server.core.planner.infeasibility.rejection import CRITERIA, Criterion, Rest, leaver
from server.core.planner.infeasibility.rejection_bound import Costs, Prover
from server.core.planner.local_search.annealing import first_lawful
from server.core.planner.problem.deadline import Clock
from server.core.planner.problem.model import Line, Task
from server.core.shop.case import Case

MOST_CHOSEN = 400  # cases of which what stays is chosen together with stacks and rows
FOR_HEAVIEST = 0.15  # of the time, to plan what is left when the heaviest stay
FOR_BY_MASS = 0.05  # of the time, to plan what is left when a set chosen by mass alone stays
MORE_LEFT = (0, 1, 2, 4, 8, 16, 32)  # cases beyond the least number that the payload asks


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
class SmallestSets:
    """Keeps each lawful part that is found; `heard` receives each as it comes."""

    task: Task
    clock: Clock
    over_g: int
    attempt: Callable[[Task, float], Attempt]
    heard: Callable[[Rest], None]
    known: dict[frozenset[str], Rest] = field(default_factory=dict)

    def by_each_criterion(self, parts: Parts) -> list[Sure]:
        """Return what goes and what stays by each criterion, the smallest of all found.

        Where a set as small as the payload alone asks is lawful, nothing else is searched.
        """
        heaviest = self._without_heaviest()
        if heaviest is not None:
            self._keep(heaviest)
        prover = Prover(self.task, self.clock, self._goes)
        open_ = [one for one in CRITERIA if not self._met_by_mass(prover, one)]
        if open_ and (not self.known or len(self.task.cases) <= MOST_CHOSEN):
            self._choose(open_, parts)
        if not self.known:
            return []
        found = []
        for one in CRITERIA:
            answer = prover.prove(self._least(one).left, one.price)
            found.append(Sure(one, self.known[_codes(answer.left)], answer.proven))
        return found

    def _choose(self, criteria: Sequence[Criterion], parts: Parts) -> None:
        """Choose what stays together with stacks and rows."""
        if self.clock.over():
            return
        leave = leaver(self.task, self.clock)
        rests = [leave(one.cost) for one in criteria if not self.clock.over()]
        for rest in rests:
            lawful = parts.of_rest(rest) if rest and not self.clock.over() else None
            if lawful is not None:
                self._keep(lawful)

    def _met_by_mass(self, prover: Prover, one: Criterion) -> bool:
        """Return whether a lawful part leaves no more than the payload alone asks."""
        if not self.over_g:
            return False
        cost = Costs(self.task.cases, one.price)
        least, light = prover.by_mass(one.price)
        if not self.known or not cost.meets(self._least(one).left, least):
            rooms = self._first(light, FOR_BY_MASS)
            if rooms is not None:
                self._keep(Rest(rooms, list(light)))
        return bool(self.known) and cost.meets(self._least(one).left, least)

    def _least(self, one: Criterion) -> Rest:
        cost = Costs(self.task.cases, one.price)
        return min(self.known.values(), key=lambda rest: _rank(rest, cost))

    def _keep(self, rest: Rest) -> None:
        self.known[_codes(rest.left)] = rest
        self.heard(rest)

    def _kept(self, stays: Iterable[Case]) -> Task:
        """Return the task of what loads when these stay."""
        codes = _codes(stays)
        return self.task.only(case for case in self.task.cases if case.code not in codes)

    def _first(self, stays: Iterable[Case], share: float) -> list[list[Line]] | None:
        """Return the first lawful rows found of what loads when these stay."""
        found: list[list[list[Line]]] = []

        def take(rooms: list[list[Line]]) -> bool:
            found.append(rooms)
            return True

        first_lawful(self._kept(stays), self.clock.part(share), take)
        return found[0] if found else None

    def _goes(self, stays: Sequence[Case]) -> bool | None:
        """Plan what such a set lets load; False: it is proven that it cannot all be loaded."""
        if len(self.task.cases) > MOST_CHOSEN or self.clock.over():
            return None
        if _codes(stays) in self.known:
            return True
        tried = self.attempt(self._kept(stays), 0.3)
        if tried.loads is not None:
            self._keep(Rest([list(load.lines) for load in tried.loads], list(stays)))
            return True
        return False if tried.impossible else None

    def _without_heaviest(self) -> Rest | None:
        """Return what loads when as few cases as the payload asks are left, or a few more."""
        if not self.over_g:
            return None
        ranked = sorted(self.task.cases, key=lambda case: (-case.mass_g, case.code))
        masses = accumulate(case.mass_g for case in ranked)
        least = 1 + next(i for i, mass in enumerate(masses) if mass >= self.over_g)
        for more in MORE_LEFT:
            left = ranked[: least + more]
            rooms = self._first(left, FOR_HEAVIEST)
            if rooms is not None:
                return Rest(rooms, left)
            if self.clock.over():
                break
        return None
