"""Which vehicles go: the fewest that carry all, and the greedy load of each."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations, islice
from math import comb

from server.core.base.units import within
from server.core.planner.bounds.floor_area import floor_needs
from server.core.planner.construction.greedy_stacks import build_stacks
from server.core.planner.construction.shelf import shelve
from server.core.planner.problem.model import Load, Stack, Task
from server.core.planner.problem.single_case import why_no_vehicle
from server.core.shop.vehicle import Vehicle


@dataclass(frozen=True)
class Attempt:
    """What one set of vehicles came to: its loads if all goes, and a bound on its floor length."""

    loads: list[Load] | None
    bound: int
    impossible: bool = False
    fewer_open: bool = False  # whether fewer vehicles could carry everything is not decided

    @property
    def length(self) -> int:
        """Floor length of the loads."""
        return sum(load.length for load in self.loads or ())


def too_small(task: Task) -> bool:
    """Return whether some case goes in none of these vehicles."""
    return any(why_no_vehicle(case, task) is not None for case in task.cases)


MOST_SETS = 60  # sets of vehicles tried for each number of vehicles
MOST_COMBINED = 5_000  # sets looked at to find those that are not alike


def sets_of_vehicles(task: Task) -> Iterator[tuple[Vehicle, ...]]:
    """Yield sets of vehicles with payload and floor enough, fewest and largest first."""
    wished = {case.vehicle for case in task.cases if case.vehicle}
    ranked = sorted(
        task.vehicles,
        key=lambda v: (v.id not in wished, -v.width_um * v.length_um, v.id),
    )
    mass = sum(case.mass_g for case in task.cases)
    area = floor_needs(task)[0]
    for count in range(1, len(ranked) + 1):
        for chosen in islice(_different(ranked, count, wished), MOST_SETS):
            payloads = [vehicle.payload_g for vehicle in chosen]
            known = [one for one in payloads if one is not None]
            enough = len(known) < count or within(mass, sum(known), len(task.cases))
            enough &= sum(room.length_um * room.width_um for room in chosen) >= area
            if enough and wished <= {vehicle.id for vehicle in chosen}:
                yield chosen


def _different(
    ranked: Sequence[Vehicle], count: int, wished: Collection[str]
) -> Iterator[tuple[Vehicle, ...]]:
    """Yield sets of so many vehicles that are not alike."""
    seen = set()
    for chosen in islice(combinations(ranked, count), MOST_COMBINED):
        alike = tuple(replace(v, id=v.id if v.id in wished else "", name="") for v in chosen)
        if alike not in seen:
            seen.add(alike)
            yield chosen


def all_are_tried(task: Task, count: int) -> bool:
    """Return whether every set of fewer vehicles is among those tried."""
    looks = {replace(vehicle, id="", name="") for vehicle in task.vehicles}
    number = len(task.vehicles)
    return len(looks) == 1 or all(comb(number, fewer) <= MOST_SETS for fewer in range(1, count))


def greedy_loads(
    task: Task, vehicles: Sequence[Vehicle], stacks: Sequence[Stack] | None = None
) -> tuple[list[Load], list[Stack]]:
    """Fill vehicles one after the other; return the loads and what found no room."""
    part = replace(task, vehicles=tuple(vehicles))
    ready = build_stacks(part) if stacks is None else list(stacks)
    best: tuple[tuple[int, int], list[Load], list[Stack]] | None = None
    for deepest_first in (True, False):
        loads, left = [], list(ready)
        for vehicle in vehicles:
            load, left = shelve(vehicle, left, deepest_first)
            loads.append(load)
        rank = (sum(len(stack.cases) for stack in left), sum(load.length for load in loads))
        if best is None or rank < best[0]:
            best = (rank, loads, left)
    assert best is not None
    return best[1], best[2]
