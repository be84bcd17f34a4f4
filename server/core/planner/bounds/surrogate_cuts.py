"""What riders use up and what lids offer, summed: more than that no plan can set on lids."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field

from server.core.planner.column_generation.valid_inequalities import Cut, spare_of
from server.core.planner.problem.model import Task
from server.core.planner.stacking.item_types import Twins
from server.core.planner.stacking.lid_rules import takes_riders
from server.core.planner.stacking.stack_types import BenchType
from server.core.shop.case import Case

AREA_UNIT = 10**8  # square micrometres; finer figures only trouble the solver
SIDE_UNIT = 100  # micrometres
MASS_UNIT = 10  # grams


def smallest_area(task: Task, case: Case) -> int:
    """Return the least floor that a case takes, in square micrometres."""
    return min((way.dx * way.dy for way in task.ways(case)), default=0)


def least_side(task: Task, case: Case) -> int:
    """Return the shorter side of a case as it may stand, at least."""
    return min((min(way.dx, way.dy) for way in task.ways(case)), default=0)


def lowest_height(task: Task, case: Case) -> int:
    """Return how high a case stands at least."""
    return min((way.dz for way in task.ways(case)), default=0)


def _fullest(chunks: Sequence[int], width: int) -> int:
    """Return the largest sum of chunks, each as often as you like, within a width."""
    sums = {0}
    waiting = [0]
    while waiting:
        start = waiting.pop()
        for end in {start + chunk for chunk in chunks} - sums:
            if end <= width:
                sums.add(end)
                waiting.append(end)
    return max(sums)


@dataclass
class Sums:
    """What riders use up and what lids offer, over one list of stacks and riders in the air."""

    task: Task
    twins: Sequence[Twins]
    towers: Sequence[BenchType]
    riding: Sequence[BenchType]
    free: set[str]
    ceiling: int
    _levels: dict[tuple[int, int], Counter[int]] = field(default_factory=dict)

    def cuts(self) -> Iterator[Cut]:
        """Yield the sums over every pool of drops and every height of riders."""
        sizes = sorted({lowest_height(self.task, self._rider(bench)) for bench in self.riding})
        sides = sorted({least_side(self.task, self._rider(bench)) for bench in self.riding})
        for pool in sorted({(bench.lo, bench.hi) for bench in self.riding}):
            # What comes off first carries nothing that comes off later: a sum over each.
            for drop in range(pool[0], pool[1] + 1):
                for size in sizes:
                    yield self._cut(pool, drop, size, (self._area_of, self._lid))
                    yield self._cut(pool, drop, size, (self._mass_of, self._strength))
                    for side in sides:
                        about = self._side_of(side), self._layers(pool, side)
                        yield self._cut(pool, drop, size, about)

    def _is_alone(self, pool: tuple[int, int], top: int) -> bool:
        """Return whether no two lids of this height can stand in one row of the pool."""
        if pool not in self._levels:
            self._levels[pool] = self._count_levels(pool)
        return self._levels[pool][top] == 1

    def _count_levels(self, pool: tuple[int, int]) -> Counter[int]:
        levels: Counter[int] = Counter()
        tops: set[int] = set()
        for bench in self.towers:
            if (bench.lo, bench.hi) == pool and takes_riders(self._upper(bench)):
                top = sum(self.twins[i].heavy.height_um for i in bench.towers[0])
                levels[top] += self.twins[bench.towers[0][0]].count
                tops.add(top)
        lids = {c.height_um for b in self.riding if takes_riders(c := self._rider(b))}
        while lids and tops:
            tops = {top + size for top in tops for size in lids if top + size <= self.ceiling}
            levels.update(2 * list(tops))
        return levels

    def _upper(self, bench: BenchType) -> Case:
        return self.twins[bench.towers[0][-1]].heavy

    def _rider(self, bench: BenchType) -> Case:
        return self.twins[bench.riders[0]].light

    def _area_of(self, rider: Case) -> int:
        return smallest_area(self.task, rider) // AREA_UNIT

    def _mass_of(self, rider: Case) -> int:
        return max(0, rider.mass_g - 1) // MASS_UNIT

    def _side_of(self, least: int) -> Callable[[Case], int]:
        """Return what counts the width that a rider takes at least, if no side is below `least`."""

        def uses(rider: Case) -> int:
            side = least_side(self.task, rider)
            return side // SIDE_UNIT if side >= least else 0

        return uses

    def _lid(self, case: Case, tower: Sequence[int]) -> int:
        del tower
        return -(-case.length_um * case.width_um // AREA_UNIT)

    def _strength(self, case: Case, tower: Sequence[int]) -> int:
        del case
        return -(-spare_of(tower, self.twins) // MASS_UNIT) + 1 if tower else 0

    def _layers(self, pool: tuple[int, int], least: int) -> Callable[[Case, Sequence[int]], int]:
        """Return what counts width: as many layers as sides of `least` go into the depth.

        A lid without another of its height beside it is not bridged: whole riders only.
        """
        sides = {least_side(self.task, self._rider(bench)) for bench in self.riding}
        chunks = sorted(side for side in sides if side >= least)

        def wide(width: int, top: int) -> int:
            room = _fullest(chunks, width) if self._is_alone(pool, top) else width
            return -(-room // SIDE_UNIT)

        def offers(case: Case, tower: Sequence[int]) -> int:
            ways = [way for way in self.task.ways(case) if way.stance == "upright"]
            top = sum(self.twins[i].heavy.height_um for i in tower) if tower else -1
            return max((wide(way.dx, top) * (way.dy // least) for way in ways), default=0)

        return offers

    def _cut(
        self,
        pool: tuple[int, int],
        drop: int,
        size: int,
        about: tuple[Callable[[Case], int], Callable[[Case, Sequence[int]], int]],
    ) -> Cut:
        """Return the sum over riders of a drop or a later one, and over lids of the same."""
        uses, offers = about
        entries: dict[BenchType, int] = {}
        lowest = self.ceiling
        for bench in self.towers:
            top = sum(self.twins[i].heavy.height_um for i in bench.towers[0])
            upper = self._upper(bench)
            if not takes_riders(upper) or top + size > self.ceiling:
                continue
            lowest = min(lowest, top)
            if (bench.lo, bench.hi) == pool and upper.drop >= drop:
                entries[bench] = offers(upper, bench.towers[0])
        for bench in self.riding:
            if (bench.lo, bench.hi) == pool and self._rider(bench).drop >= drop:
                amount = self._of_rider(self._rider(bench), size, lowest, uses, offers)
                if amount:
                    entries[bench] = amount
        return Cut(0, entries)

    def _of_rider(
        self,
        rider: Case,
        size: int,
        lowest: int,
        uses: Callable[[Case], int],
        offers: Callable[[Case, Sequence[int]], int],
    ) -> int:
        """Return what a rider's own lid offers less what the rider takes up."""
        amount = 0
        if lowest_height(self.task, rider) >= size and rider.code not in self.free:
            amount -= uses(rider)
        if takes_riders(rider) and lowest + rider.height_um + size <= self.ceiling:
            amount += offers(rider, ())
        return amount
