"""The smallest set of cases to leave so that the rest goes, by whatever is to be kept small."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from server.core.planner.column_generation.covering import Leave, open_demand
from server.core.planner.column_generation.decode import realise
from server.core.planner.column_generation.integer_master import choose_rows
from server.core.planner.column_generation.restricted_master import price_out
from server.core.planner.infeasibility.rejection_bound import Price
from server.core.planner.problem.deadline import Clock
from server.core.planner.problem.model import Line, Task
from server.core.planner.stacking.item_types import Twins, find_twins
from server.core.planner.stacking.stack_enumeration import BenchFinder
from server.core.planner.stacking.stack_types import BenchType
from server.core.planner.stacking.tower_enumeration import TooMany
from server.core.shop.case import Case
from server.core.shop.case_mass import worst_g

WORK = 60_000
NICE = 100_000  # cases that are nice to have cost so many times less
FOR_STACKS = 0.3  # of the time, to list them

Cost = Callable[[Case], float]


@dataclass(frozen=True)
class Rest:
    """What goes, as rows of each vehicle, and what stays."""

    rooms: list[list[Line]]
    left: list[Case]


def fewest(case: Case) -> float:
    """Every case costs the same; of two equal sets the lighter stays."""
    return 1.0 + worst_g(case) / 1e9


def lightest(case: Case) -> float:
    """A case costs its mass; what nobody weighed is no light case."""
    return max(worst_g(case), 1) / 100_000


def smallest(case: Case) -> float:
    """A case costs the floor that it would take upright."""
    return case.length_um * case.width_um / 1e12


def least_wanted(case: Case) -> float:
    """What is nice to have, then what is needed last, is wanted least; the lighter stays."""
    if case.priority == "nice":
        return fewest(case) / NICE
    return 8.0 / case.drop**2 + worst_g(case) / 1e7


def _wanted(case: Case) -> int:
    """What the venue needs first costs most; the square of every drop up to 10 divides 2520².

    Whatever is nice to have costs next to nothing.
    """
    return 1 if case.priority == "nice" else round(2520**2 / case.drop**2)


@dataclass(frozen=True)
class Criterion:
    """What a set of cases to leave keeps small: in words, for the search, and to be proven."""

    name: str
    cost: Cost
    price: Price


CRITERIA = (
    Criterion("fewest cases", fewest, lambda _: 1),
    Criterion("least mass", lightest, lambda case: max(worst_g(case), 1)),
    Criterion("least floor", smallest, lambda case: case.length_um * case.width_um),
    Criterion("least wanted", least_wanted, _wanted),
)


def leaver(task: Task, clock: Clock) -> Callable[[Cost], Rest | None]:
    """Return a function that finds what to leave by a cost; stacks are listed once for all."""
    twins = find_twins(task, fine=True, by_mass=True)
    benches = _benches(task, twins, clock.part(FOR_STACKS).over)
    payloads = [vehicle.payload_g for vehicle in task.vehicles]
    limit = sum(one for one in payloads if one is not None) if None not in payloads else None
    mass = sum(case.mass_g for case in task.cases)
    over = 0 if limit is None else max(0, mass - limit)

    def leave(cost: Cost) -> Rest | None:
        demand = open_demand(task.vehicles, twins, benches)
        demand.leave = Leave([cost(one.heavy) for one in twins], over)
        demand.cuts = ()
        problem = demand.problem
        part = clock.part(0.3)
        priced, _ = price_out(problem, demand, (), part.over, bind_lengths=True)
        chosen = choose_rows(
            problem, demand, priced.patterns, seconds=min(2.0, max(0.3, part.left()))
        )
        if chosen.rows is None:
            return None
        rooms, left = realise(task, demand, chosen.rows, chosen.stacks)
        return Rest(rooms, left)

    return leave


def _benches(task: Task, twins: Sequence[Twins], stop: Callable[[], bool]) -> list[BenchType]:
    """Return all stacks, or lone cases only where there are too many for the time."""
    finder = BenchFinder(task, twins, lambda one: one.heavy)
    finder.stop = stop
    try:
        return finder.find(WORK)
    except TooMany:
        alone = replace(task, tied=frozenset(case.code for case in task.cases))
        return BenchFinder(alone, twins, lambda one: one.heavy).find(WORK)
