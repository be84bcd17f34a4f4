"""Every stack worth having: towers alone or two side by side, with riders on top."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from itertools import combinations_with_replacement

from server.core.case import Case
from server.core.planner.bench_types import BenchType, Numbers, Outline, Setting, Tower, undercut
from server.core.planner.lids import (
    Box,
    Sides,
    arrange,
    flat,
    shares,
    takes_casters,
    wishes_agree,
)
from server.core.planner.model import Task, Way
from server.core.planner.twins import Twins, family
from server.core.vehicle import Vehicle


class TooMany(Exception):
    """More stacks than the search is willing to list."""


class BenchFinder:
    """Lists stacks over twins; `pick` says which member stands for its twins."""

    def __init__(self, task: Task, twins: Sequence[Twins], pick: Callable[[Twins], Case]) -> None:
        self.task = task
        self.twins = twins
        self.work = 0
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

    def find(self, work: int) -> list[BenchType]:
        """Return every stack that none of the same floor includes; TooMany above `work` trials."""
        self.work = work
        found: dict[BenchType, None] = {}
        towers = list(self._towers())
        for tower in towers:
            for bench in self._on_one(tower):
                found[bench] = None
        lids = [tower for tower in towers if tower.takes]
        for one, other in combinations_with_replacement(lids, 2):
            if one.top != other.top or not self._enough(one, other):
                continue
            for bench in self._on_two(one, other):
                found[bench] = None
        return list(found)

    def _enough(self, one: Tower, other: Tower) -> bool:
        need = Counter([*one.numbers, *other.numbers])
        return all(self.twins[i].count >= count for i, count in need.items())

    def _towers(self) -> Iterator[Tower]:
        """Yield lone cases and every tower of equal footprints on casters."""
        for number, case in enumerate(self.cases):
            yield from self._grow((number,), (case,))

    def _grow(self, numbers: Numbers, cases: tuple[Case, ...]) -> Iterator[Tower]:
        sides = self._sides(numbers)
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

    def _sides(self, numbers: Numbers) -> Sides:
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

    def _flat(self, number: int, top: int) -> Sides:
        key = number, top
        if key not in self._flats:
            ways = [way for way in self._ways(number) if top + way.dz <= self.ceiling]
            self._flats[key] = flat(ways)
        return self._flats[key]

    def _shape(self, number: int, top: int) -> int:
        """Return a number that riders of the same sides share."""
        key = number, top
        if key not in self._shape_of:
            sides = self._flat(number, top)
            self._shape_of[key] = self._shapes.setdefault(sides, len(self._shapes))
        return self._shape_of[key]

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

    def _on_one(self, tower: Tower) -> Iterator[BenchType]:
        """Yield the tower bare, and with each set of riders that no larger set replaces."""
        if len(tower.cases) == 1:
            bare = undercut([(way.dx, way.dy) for way in self._ways(tower.numbers[0])])
        else:
            bare = undercut(tower.sides)
        if not bare:
            return
        if not tower.takes or not tower.sides or tower.cases[-1].code in self.task.tied:
            yield self._bench([tower], (), bare)
            return
        settings = [Setting((side,), (tower,)) for side in tower.sides]
        yield from self._sets([tower], settings, bare)

    def _on_two(self, one: Tower, other: Tower) -> Iterator[BenchType]:
        """Yield two towers side by side with sets of riders of which at least one bridges them."""
        # The mirror image of a setting holds the mirror image of its riders: one order is enough.
        settings = [
            Setting((a, b), (one, other))
            for a in one.sides
            for b in other.sides
            if a[0] + b[0] <= self.task.width
        ]
        bare = undercut([setting.floor for setting in settings])
        for bench in self._sets([one, other], settings, bare):
            if bench.riders and not self._apart(one, other, bench.riders):
                yield bench

    def _fits(self, setting: Setting, riders: Numbers) -> bool:
        """Return whether riders find room on the lids of a setting, which then bear them."""
        self.work -= 1
        if self.work < 0:
            raise TooMany
        top = setting.towers[0].top
        key = setting.lids, tuple(self._shape(i, top) for i in riders)
        if key not in self._arranged:
            self._arranged[key] = arrange(setting.lids, tuple(self._flat(i, top) for i in riders))
        boxes = self._arranged[key]
        if boxes is None:
            return False
        if len(setting.towers) == 1:
            load = sum(self.cases[i].mass_g for i in riders)
            return setting.towers[0].holds(load, len(riders))
        loads, parts = [0.0] * len(setting.lids), [0] * len(setting.lids)
        for i, box in zip(riders, boxes, strict=True):
            for lid, over in shares(box, setting.lids):
                loads[lid] += self.cases[i].mass_g * over / box[2]
                parts[lid] += 1
        return all(
            tower.holds(load, part)
            for tower, load, part in zip(setting.towers, loads, parts, strict=True)
        )

    def _apart(self, one: Tower, other: Tower, riders: Numbers) -> bool:
        """Return whether the riders could as well stand on the two towers each for itself."""

        def alone(tower: Tower, some: Numbers) -> bool:
            return not some or any(
                self._fits(Setting((side,), (tower,)), some) for side in tower.sides
            )

        for mask in range(2 ** len(riders)):
            left = tuple(r for k, r in enumerate(riders) if mask >> k & 1)
            right = tuple(r for k, r in enumerate(riders) if not mask >> k & 1)
            if alone(one, left) and alone(other, right):
                return True
        return False

    def _sets(
        self, towers: Sequence[Tower], settings: Sequence[Setting], bare: Outline
    ) -> Iterator[BenchType]:
        """Walk through sets of riders; a set is kept if no rider more fits on the same floor."""
        base = [i for tower in towers for i in tower.numbers]
        left = {i: self.twins[i].count - base.count(i) for i in self.riders}
        able = [
            i
            for i in self.riders
            if left[i]
            and self._near_drops([*base, i])
            and self._flat(i, towers[0].top)
            and all(wishes_agree(self.cases[i], case) for tower in towers for case in tower.cases)
        ]
        rank_of = {i: rank for rank, i in enumerate(able)}
        known: dict[Numbers, tuple[Setting, ...]] = {(): tuple(settings)}

        def standing(riders: Numbers, among: Sequence[Setting]) -> tuple[Setting, ...]:
            if riders not in known:
                fit = all(riders.count(i) <= left[i] for i in riders)
                fit = fit and self._near_drops([*base, *riders])
                known[riders] = (
                    tuple(one for one in among if self._fits(one, riders)) if fit else ()
                )
            return known[riders]

        def floor(riders: Numbers, among: Sequence[Setting]) -> Outline:
            return undercut([one.floor for one in among]) if riders else bare

        def walk(riders: Numbers, start: int) -> Iterator[BenchType]:
            mine = known[riders]
            outline, drops = floor(riders, mine), self._drops([*base, *riders])
            replaced = False
            for i in able:
                larger = tuple(sorted((*riders, i), key=rank_of.__getitem__))
                among = standing(larger, mine)
                if among and not replaced:
                    replaced = floor(larger, among) == outline and drops == self._drops(
                        [*base, *larger]
                    )
            if not replaced:
                yield self._bench(towers, riders, outline)
            for rank in range(start, len(able)):
                larger = (*riders, able[rank])
                if known[larger]:
                    yield from walk(larger, rank)

        if bare:
            yield from walk((), 0)
