"""What fractions forget: whole towers, and that heavy riders do not share a lid."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field

from server.core.planner.stacking.item_types import Twins, family
from server.core.planner.stacking.stack_types import BenchType

BLUR_G = 8  # what rounding of masses and of their limits can add up to on one lid
SHARES = (1, 2, 3)


@dataclass(frozen=True)
class Cut:
    """Over all stacks chosen, the entries sum to at least so much in every lawful plan."""

    least: int
    entries: dict[BenchType, int] = field(hash=False)

    def entry(self, bench: BenchType) -> int:
        """Return what one stack adds."""
        return self.entries.get(bench, 0)


def find_cuts(twins: Sequence[Twins], benches: Sequence[BenchType]) -> list[Cut]:
    """Return cuts for footprints that pile up and for riders of each weight that matters."""
    return [*tower_cuts(twins, benches), *_rider_cuts(twins, benches)]


def tower_cuts(twins: Sequence[Twins], benches: Sequence[BenchType]) -> list[Cut]:
    """At least so many towers hold one of these: their number by the highest tower, rounded up."""
    groups: dict[tuple[tuple[int, int], int], set[int]] = defaultdict(set)
    for number, one in enumerate(twins):
        if not one.rides:
            groups[family(one.heavy), one.drop].add(number)
    cuts = []
    for among in groups.values():
        high = max(
            (sum(i in among for i in tower) for bench in benches for tower in bench.towers),
            default=1,
        )
        if high > 1:
            entries = {
                bench: sum(any(i in among for i in tower) for tower in bench.towers)
                for bench in benches
            }
            number = sum(twins[i].count for i in among)
            cuts.append(Cut(-(-number // high), entries))
    return cuts


def _rider_cuts(twins: Sequence[Twins], benches: Sequence[BenchType]) -> list[Cut]:
    """Riders of a mass or more: each stack takes only as many as its lids bear of that mass."""
    masses = sorted({case.mass_g for one in twins if one.rides for case in one.members})
    limits = {one.heavy.lid_load_g or 0 for one in twins}
    steps = sorted({limit // share for limit in limits for share in SHARES})
    marks = {next((mass for mass in masses if mass > step + BLUR_G), 0) for step in steps}
    cuts = []
    for mark in sorted(marks - {0}):
        heavy = {i for i, one in enumerate(twins) if one.rides and one.members[0].mass_g >= mark}
        number = sum(case.mass_g >= mark for i in heavy for case in twins[i].members)
        entries = {bench: _heavy_ones(bench, heavy, mark, twins) for bench in benches}
        cuts.append(Cut(number, entries))
    return cuts


def _heavy_ones(bench: BenchType, heavy: set[int], mark: int, twins: Sequence[Twins]) -> int:
    """Return how many cases of a mass a stack can hold: in its towers all, on its lids some."""
    inside = sum(i in heavy for tower in bench.towers for i in tower)
    above = sum(i in heavy for i in bench.riders)
    spare = sum(spare_of(tower, twins) for tower in bench.towers)
    return inside + min(above, (spare + BLUR_G) // mark)


def spare_of(tower: Sequence[int], twins: Sequence[Twins]) -> int:
    """Return the most that the lids of a tower bear on top, its cases as light as they come."""
    above, spare = 0, None
    for number in reversed(tower):
        left = (twins[number].heavy.lid_load_g or 0) - above
        spare = left if spare is None else min(spare, left)
        above += twins[number].light.mass_g
    return max(0, spare or 0)
