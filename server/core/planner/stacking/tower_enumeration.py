"""Towers: lone cases, and equal footprints on casters, with the floor that they take."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence

from server.core.planner.problem.model import Task, Way
from server.core.planner.stacking.item_types import Twins, family
from server.core.planner.stacking.lid_rules import (
    Box,
    Sides,
    takes_casters,
    wishes_agree,
)
from server.core.planner.stacking.stack_types import BenchType, Numbers, Outline, Tower, undercut
from server.core.shop.case import Case
from server.core.shop.vehicle import Vehicle


class TooMany(Exception):
    """More stacks than the search is willing to list."""


class TowerFinder:
    """Lists towers over twins; `pick` says which member stands for its twins."""

    def __init__(self, task: Task, twins: Sequence[Twins], pick: Callable[[Twins], Case]) -> None:
        self.task = task
        self.twins = twins
        self.work = 0
        self.stop: Callable[[], bool] = lambda: False
        self.cases = [pick(one) for one in twins]
        self.tall = max(vehicle.height_um for vehicle in task.vehicles)
        self.ceiling = min(self.tall, task.rules.lift_top_um or self.tall)
        self.riders = sorted(
            (i for i, one in enumerate(twins) if one.rides and self.cases[i].code not in task.tied),
            key=lambda i: (-self.cases[i].length_um * self.cases[i].width_um, i),
        )
        self._all_ways: dict[int, tuple[Way, ...]] = {}
        self._flats: dict[tuple[int, int], Sides] = {}
        self._shapes: dict[Sides, int] = {}
        self._shape_of: dict[tuple[int, int], int] = {}
        self._arranged: dict[tuple[Sides, Numbers], tuple[Box, ...] | None] = {}

    def bare_towers(self, most: int) -> list[BenchType]:
        """Return every tower without riders; TooMany above `most`."""
        found: dict[BenchType, None] = {}
        for tower in self._towers():
            if len(found) > most:
                raise TooMany
            bare = self._bare(tower)
            if bare:
                found[self._bench([tower], (), bare)] = None
        return list(found)

    def _enough(self, *towers: Tower) -> bool:
        need = Counter(number for tower in towers for number in tower.numbers)
        return all(self.twins[i].count >= count for i, count in need.items())

    def _towers(self) -> Iterator[Tower]:
        """Yield lone cases and every tower of equal footprints on casters."""
        for number, case in enumerate(self.cases):
            yield from self._grow((number,), (case,))

    def _grow(self, numbers: Numbers, cases: tuple[Case, ...]) -> Iterator[Tower]:
        sides = self.sides(numbers)
        top = sum(case.height_um for case in cases)
        if (sides and top <= self.tall) or len(cases) == 1:
            yield Tower(numbers, cases, sides, top)
        if not sides or not takes_casters(cases[-1]) or cases[-1].code in self.task.tied:
            return
        tower = Tower(numbers, cases, sides, top)
        for number, case in enumerate(self.cases):
            if (
                family(case) == family(cases[0])
                and case.code not in self.task.tied
                and numbers.count(number) < self.twins[number].count
                and top + case.height_um <= self.tall
                and self._near_drops((*numbers, number))
                and all(wishes_agree(case, lower) for lower in cases)
                and tower.holds(case.mass_g, 1)
            ):
                yield from self._grow((*numbers, number), (*cases, case))

    def _ways(self, number: int) -> tuple[Way, ...]:
        if number not in self._all_ways:
            self._all_ways[number] = self.task.ways(self.cases[number])
        return self._all_ways[number]

    def sides(self, numbers: Numbers) -> Sides:
        """Return each (dx, dy) in which all cases of a tower stand upright."""
        common: list[tuple[int, int]] | None = None
        for number in numbers:
            sides = [(way.dx, way.dy) for way in self._ways(number) if way.stance == "upright"]
            common = sides if common is None else [one for one in common if one in sides]
        return tuple(dict.fromkeys(common or ()))

    def _drops(self, numbers: Sequence[int]) -> tuple[int, int]:
        drops = [self.twins[i].drop for i in numbers]
        return min(drops), max(drops)

    def _near_drops(self, numbers: Sequence[int]) -> bool:
        low, high = self._drops(numbers)
        return high - low <= 1

    def _bench(self, towers: Sequence[Tower], riders: Numbers, outline: Outline) -> BenchType:
        numbers = (*(i for tower in towers for i in tower.numbers), *riders)
        low, high = self._drops(numbers)
        top = max(tower.top for tower in towers) if len(numbers) > 1 else 0
        if riders:
            top += max(self._lowest(i) for i in riders)
        rooms = frozenset(
            index
            for index, room in enumerate(self.task.vehicles)
            if top <= room.height_um
            and all(self._passes(i, room) for i in numbers)
            and any(w <= room.width_um and d <= room.length_um for w, d in outline)
        )
        return BenchType(
            tuple(tower.numbers for tower in towers), riders, outline, low, high, rooms
        )

    def _lowest(self, number: int) -> int:
        return min(way.dz for way in self._ways(number))

    def _passes(self, number: int, room: Vehicle) -> bool:
        wish = self.cases[number].vehicle
        return wish in (None, room.id) and self._lowest(number) <= room.passing_height_um

    def _bare(self, tower: Tower) -> Outline:
        if len(tower.cases) == 1:
            return undercut([(way.dx, way.dy) for way in self._ways(tower.numbers[0])])
        return undercut(tower.sides)
