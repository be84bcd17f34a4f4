"""Every stack worth having: towers alone or two side by side, with riders on top."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations_with_replacement, product

from server.core.planner.stacking.lid_rules import (
    Sides,
    arrange,
    flat,
    shares,
    wishes_agree,
)
from server.core.planner.stacking.stack_types import (
    BenchType,
    Numbers,
    Outline,
    Setting,
    Tower,
    undercut,
)
from server.core.planner.stacking.tower_enumeration import TooMany, TowerFinder

LOOK = 500  # trials between two looks at the clock
CHAIN_WORK = 40_000  # trials of riders on three or four towers side by side


class BenchFinder(TowerFinder):
    """Lists stacks over twins: towers with riders on top."""

    def find(self, work: int) -> list[BenchType]:
        """Return every stack that none of the same floor includes.

        Raises TooMany above `work` trials, and where `stop` says so.
        """
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
        found.update(dict.fromkeys(self._chains(lids)))
        return list(found)

    def _chains(self, lids: Sequence[Tower]) -> Iterator[BenchType]:
        """Yield three or four equal towers bridged one after the other, while work lasts."""
        self.work = CHAIN_WORK
        try:
            for tower, number in product(lids, (3, 4)):
                among = [tower] * number
                settings = [
                    Setting((side,) * number, tuple(among))
                    for side in tower.sides
                    if side[0] * number <= self.task.width
                ]
                if not settings or not self._enough(*among):
                    continue
                bare = undercut([setting.floor for setting in settings])
                least = 1 + number * self._most_on(tower)
                for bench in self._sets(among, settings, bare):
                    if len(bench.riders) >= least:
                        yield bench
        except TooMany:
            return

    def _most_on(self, tower: Tower) -> int:
        """Return how many of the smallest rider one tower takes by itself."""
        low = [i for i in self.riders if self.flat(i, tower.top)]
        count = 0
        while low and any(
            self._fits(Setting((side,), (tower,)), (low[-1],) * (count + 1)) for side in tower.sides
        ):
            count += 1
        return count

    def flat(self, number: int, top: int) -> Sides:
        """Return the sides that a rider may show on a lid of this height."""
        key = number, top
        if key not in self._flats:
            ways = [way for way in self._ways(number) if top + way.dz <= self.ceiling]
            self._flats[key] = flat(ways)
        return self._flats[key]

    def _shape(self, number: int, top: int) -> int:
        """Return a number that riders of the same sides share."""
        key = number, top
        if key not in self._shape_of:
            sides = self.flat(number, top)
            self._shape_of[key] = self._shapes.setdefault(sides, len(self._shapes))
        return self._shape_of[key]

    def _on_one(self, tower: Tower) -> Iterator[BenchType]:
        """Yield the tower bare, and with each set of riders that no larger set replaces."""
        bare = self._bare(tower)
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
        if self.work < 0 or (self.work % LOOK == 0 and self.stop()):
            raise TooMany
        top = setting.towers[0].top
        key = setting.lids, tuple(self._shape(i, top) for i in riders)
        if key not in self._arranged:
            self._arranged[key] = arrange(setting.lids, tuple(self.flat(i, top) for i in riders))
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
            and self.flat(i, towers[0].top)
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
