"""Stacks for the floor: equal footprints on casters first, then riders, then bridging riders."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from functools import cached_property, lru_cache
from heapq import heapify, heappop, heappush
from itertools import combinations, islice

from server.core.planner.problem.model import Footing, Stack, Task
from server.core.planner.stacking.lid_rules import may_ride, takes_casters, takes_riders
from server.core.planner.stacking.placements import Tower, footings, tower_stands
from server.core.shop.case import Case

Refused = defaultdict[object, set[tuple[object, ...]]]  # by the look of riders, that of benches
MOST_PAIRS = 60  # pairs of towers of one height tried as a bridge for one rider
MOST_BRIDGES = 20  # riders of one drop for which a bridge is sought: others stand on the floor
MOST_PASSED = 12  # towers asked in vain before a spread of cases is given up


@dataclass
class Bench:
    """Towers side by side that riders may use as one lid, while stacks are being built."""

    towers: tuple[Tower, ...]
    riders: tuple[Case, ...] = ()
    found: tuple[Footing, ...] = field(default_factory=tuple)

    def hold(
        self, towers: tuple[Tower, ...], riders: tuple[Case, ...], found: tuple[Footing, ...]
    ) -> None:
        """Carry other cases from now on."""
        self.towers, self.riders, self.found = towers, riders, found
        for name in ("look", "lid_area"):
            self.__dict__.pop(name, None)

    @cached_property
    def look(self) -> tuple[object, ...]:
        """What makes two benches the same for a rider."""
        towers = tuple(tower_look(tower) for tower in self.towers)
        return towers, tuple(look(case) for case in self.riders)

    @cached_property
    def lid_area(self) -> int:
        """Area of lid that is still free."""
        lids = sum(tower[-1].length_um * tower[-1].width_um for tower in self.towers)
        return lids - sum(case.length_um * case.width_um for case in self.riders)

    @property
    def top(self) -> int:
        """Height of the lids."""
        return sum(case.height_um for case in self.towers[0])


def look(case: Case) -> tuple[object, ...]:
    """Return what makes cases interchangeable for a stack."""
    return (
        case.length_um,
        case.width_um,
        case.height_um,
        case.mass_g,
        case.lid_load_g,
        case.lid_casters,
        case.rides,
        case.turn,
        case.stances,
        case.vehicle,
        case.near,
        case.together,
        case.named,
    )


def tower_look(tower: Tower) -> tuple[object, ...]:
    """Return what makes towers interchangeable for a rider: lid, height, what they still bear."""
    above, spare = 0, None
    for case in reversed(tower):
        left = (case.lid_load_g or 0) - above
        spare = left if spare is None else min(spare, left)
        above += case.mass_g
    wishes = tuple((c.vehicle, c.near, c.together, c.named) for c in tower)
    base, top = tower[0], sum(case.height_um for case in tower)
    turn = tuple(case.turn for case in tower)
    return base.length_um, base.width_um, top, spare, turn, takes_riders(tower[-1]), wishes


def area(case: Case) -> int:
    """Return the upright footprint, in square micrometres."""
    return case.length_um * case.width_um


def build_stacks(task: Task, worth: Callable[[Case], float] = area) -> list[Stack]:
    """Return stacks for all cases; what rides is chosen by `worth`, the floor that it saves."""
    return list(_all_stacks(task, worth))


@lru_cache(maxsize=8)
def _all_stacks(task: Task, worth: Callable[[Case], float]) -> tuple[Stack, ...]:
    """Return the stacks, kept because several parts of a search begin with the same ones."""
    by_drop: dict[int, list[Case]] = defaultdict(list)
    for case in task.cases:
        by_drop[case.drop].append(case)
    stacks: list[Stack] = []
    for drop in sorted(by_drop):
        stacks += _stack_drop(task, by_drop[drop], worth)
    return tuple(stacks)


def _stack_drop(task: Task, cases: Sequence[Case], worth: Callable[[Case], float]) -> list[Stack]:
    """Stack the cases of one drop."""
    free = [case for case in cases if case.code not in task.tied]
    riders = [case for case in free if may_ride(case, task.rules)]
    hosts = [case for case in free if not may_ride(case, task.rules)]
    benches = pile(task, hosts)
    refused: Refused = defaultdict(set)
    left = [
        rider
        for rider in sorted(riders, key=lambda case: (-worth(case), case.code))
        if not (_ride(task, benches, rider, refused) or _top_up(task, benches, rider))
    ]
    left = _ride_each_other(task, benches, left)
    for number, rider in enumerate(left):
        if number >= MOST_BRIDGES or not _bridge(task, benches, rider):
            benches.append(Bench(((rider,),), (), footings(task, ((rider,),), ())))
    benches += [
        Bench(((case,),), (), footings(task, ((case,),), ()))
        for case in cases
        if case.code in task.tied
    ]
    return [Stack(bench.found) for bench in benches if bench.found]


def pile(task: Task, cases: Iterable[Case]) -> list[Bench]:
    """Pile equal footprints on lid casters into as few towers as can be found."""
    families: dict[tuple[object, ...], list[Case]] = defaultdict(list)
    for case in cases:
        sides = tuple(sorted((case.length_um, case.width_um)))
        families[(*sides, case.vehicle or "", case.near or "", case.together or "")].append(case)
    benches = []
    for _, family in sorted(families.items(), key=lambda item: item[0][:2]):
        towers = _fewest_towers(task, family)
        benches += [Bench((tower,), (), footings(task, (tower,), ())) for tower in towers]
    return benches


def _fewest_towers(task: Task, family: list[Case]) -> list[Tower]:
    """Return towers for one footprint on as few bottoms as can be found by halving."""
    lids = [case for case in family if takes_casters(case)]
    if not lids:
        return [(case,) for case in family]
    strongest = max(lid.lid_load_g or 0 for lid in lids)
    # What no lid bears must stand on the floor; after that the strongest lids should.
    ranked = sorted(
        family,
        key=lambda c: (
            c.mass_g <= strongest + 1,
            not takes_casters(c),
            -(c.lid_load_g or 0),
            -c.mass_g,
            c.code,
        ),
    )
    low, high = 0, len(ranked)
    best: list[Tower] = [(case,) for case in ranked]
    while high - low > 1:
        count = (low + high) // 2
        towers = _spread(task, ranked[:count], ranked[count:])
        if towers is None:
            low = count
        else:
            best, high = towers, count
    if all(footings(task, (tower,), ()) for tower in best):
        return best
    return [(case,) for case in family]


def _spread(task: Task, bottoms: list[Case], rest: list[Case]) -> list[Tower] | None:
    """Stand the rest on the bottoms, heaviest first, on the lowest tower that takes it."""
    towers: list[Tower] = [(case,) for case in bottoms]
    low = [(case.height_um, i) for i, case in enumerate(bottoms) if takes_casters(case)]
    heapify(low)
    order = sorted(rest, key=lambda c: (not takes_casters(c), -c.mass_g, -c.height_um, c.code))
    for case in order:
        passed = []
        while low:
            height, index = heappop(low)
            taller = (*towers[index], case)
            if tower_stands(task, taller):
                towers[index] = taller
                if takes_casters(case):
                    passed.append((height + case.height_um, index))
                break
            passed.append((height, index))
            if len(passed) > MOST_PASSED:
                return None
        else:
            return None
        for one in passed:
            heappush(low, one)
    return towers


def _ride(task: Task, benches: list[Bench], rider: Case, refused: Refused | None = None) -> bool:
    """Put a rider where it leaves the least lid unused and costs no footing if possible.

    `refused`: benches on which a rider like this one was tried in vain.
    """
    best: tuple[tuple[int, int], Bench, tuple[Footing, ...]] | None = None
    vain: set[tuple[object, ...]] = set() if refused is None else refused[look(rider)]
    seen = set(vain)
    for bench in benches:
        if bench.lid_area < area(rider) or not takes_riders(bench.towers[0][-1]):
            continue
        if bench.look in seen:
            continue
        seen.add(bench.look)
        riders = (*bench.riders, rider)
        riders = tuple(sorted(riders, key=lambda case: (-area(case), case.code)))
        found = footings(task, bench.towers, riders)
        if found:
            rank = (len(bench.found) - len(found), bench.lid_area)
            if best is None or rank < best[0]:
                best = (rank, bench, found)
                best_riders = riders
        elif not task.named:
            vain.add(bench.look)
    if best is None:
        return False
    best[1].hold(best[1].towers, best_riders, best[2])
    return True


def _top_up(task: Task, benches: list[Bench], case: Case) -> bool:
    """Put a case on casters on a tower of its own footprint that carries no riders."""
    for bench in benches:
        if bench.riders or len(bench.towers) > 1 or not takes_casters(bench.towers[0][-1]):
            continue
        tower = (*bench.towers[0], case)
        found = footings(task, (tower,), ())
        if found:
            bench.hold((tower,), (), found)
            return True
    return False


def _ride_each_other(task: Task, benches: list[Bench], left: list[Case]) -> list[Case]:
    """Let riders without a lid carry one another; return those that no lid takes."""
    alone: list[Bench] = []
    for rider in left:
        if not (_ride(task, alone, rider) or _top_up(task, alone, rider)):
            alone.append(Bench(((rider,),), (), footings(task, ((rider,),), ())))
    benches += [bench for bench in alone if len(bench.towers[0]) > 1 or bench.riders]
    return [bench.towers[0][0] for bench in alone if len(bench.towers[0]) == 1 and not bench.riders]


def _bridge(task: Task, benches: list[Bench], rider: Case) -> bool:
    """Set two towers of equal height side by side so that a rider may stand on both."""
    by_top: dict[int, dict[tuple[object, ...], list[Bench]]] = defaultdict(
        lambda: defaultdict(list)
    )
    for bench in benches:
        if len(bench.towers) == 1 and takes_riders(bench.towers[0][-1]):
            by_top[bench.top][bench.look].append(bench)
    best: tuple[tuple[int, int], Bench, Bench, tuple[Footing, ...], tuple[Case, ...]] | None = None
    for looks in by_top.values():
        firsts = [group[:2] for group in looks.values()]
        pairs = combinations([bench for pair in firsts for bench in pair], 2)
        for one, other in islice(pairs, MOST_PAIRS):
            if one.lid_area + other.lid_area < area(rider):
                continue
            riders = (*one.riders, *other.riders, rider)
            riders = tuple(sorted(riders, key=lambda case: (-area(case), case.code)))
            found = footings(task, (*one.towers, *other.towers), riders)
            if found:
                waste = min(f.width * f.depth for f in found) - sum(
                    area(bench.towers[0][0]) for bench in (one, other)
                )
                rank = (waste, one.lid_area + other.lid_area)
                if best is None or rank < best[0]:
                    best = (rank, one, other, found, riders)
    if best is None:
        return False
    _, one, other, found, riders = best
    one.hold((*one.towers, *other.towers), riders, found)
    benches.remove(other)
    return True
