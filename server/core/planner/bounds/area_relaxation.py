"""A bound for every plan that the rules allow: riders ride wherever lids have area and strength.

The search sets riders on one lid or on two neighbours. The rules allow more: rows of lids bridged
one after another, riders on riders, cases on casters that ride. None of that gets round two sums:
riders cover no more area than there is of lids low enough, and weigh no more than lids bear.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from server.core.planner.bounds.surrogate_cuts import Sums, lowest_height, smallest_area
from server.core.planner.column_generation.covering import OpenDemand, open_demand
from server.core.planner.column_generation.valid_inequalities import Cut
from server.core.planner.problem.model import Task
from server.core.planner.stacking.item_types import Twins, family, find_twins
from server.core.planner.stacking.lid_rules import lid_holds, may_ride, takes_casters, takes_riders
from server.core.planner.stacking.stack_enumeration import BenchFinder
from server.core.planner.stacking.stack_types import BenchType
from server.core.shop.case import Case

LOOSE_WORK = 30_000  # towers listed before the bound is given up


def loosened(task: Task) -> Task:
    """Return the task without wishes, its drops numbered without gaps.

    Whether drops 1 and 3 are neighbours when no case has drop 2 is read either way; here they are.
    """
    rank = {drop: number for number, drop in enumerate(sorted({c.drop for c in task.cases}), 1)}
    return task.only(
        replace(
            case,
            drop=rank[case.drop],
            near=None,
            together=None,
            never_under=(),
            never_beside=(),
            vehicle=None if _stacks(case, task) else case.vehicle,
        )
        for case in task.cases
    )


def _stacks(case: Case, task: Task) -> bool:
    return may_ride(case, task.rules) or takes_riders(case) or takes_casters(case)


def free_of_limits(task: Task) -> set[str]:
    """Return the codes of cases that may stand on casters in ways which the search leaves out.

    On a rider that rides, or on end or on side where that footprint is the lid's.
    """
    lids = [case for case in task.cases if takes_casters(case)]
    riding = [lid for lid in lids if may_ride(lid, task.rules)]
    found = set()
    for case in task.cases:
        stood = {tuple(sorted((w.dx, w.dy))) for w in task.ways(case) if w.stance != "upright"}
        if not (stood or riding):
            continue
        if any(family(lid) == family(case) and _bears(lid, case) for lid in riding) or any(
            family(lid) in stood and _bears(lid, case) for lid in lids
        ):
            found.add(case.code)
    return found


def _bears(lid: Case, case: Case) -> bool:
    return lid.code != case.code and lid_holds(lid, case.mass_g, 1)


def is_covered(task: Task) -> bool:
    """Return whether the search lists every stack that the rules allow for these cases."""
    if loosened(task).cases != task.cases or free_of_limits(task):
        return False
    riders = [case for case in task.cases if may_ride(case, task.rules)]
    hosts = [case for case in task.cases if takes_riders(case)]
    if not riders or not hosts:
        return True
    lids = [case.length_um * case.width_um for case in hosts]
    small = sorted(smallest_area(task, rider) for rider in riders)
    crowded = len(small) > 2 and sum(small[:3]) <= max(lids)
    heights = [case.height_um for case in hosts]
    level = len(set(heights)) < len(heights) or any(takes_casters(case) for case in task.cases)
    return not crowded and not level and not any(takes_riders(rider) for rider in riders)


def loose_demand(task: Task) -> OpenDemand:
    """Return the demand whose shortest rows no lawful plan of the task undercuts.

    Raises TooMany when there are too many ways to pile up what stands on casters.
    """
    plain = loosened(task)
    free = free_of_limits(plain)
    riders = [case for case in plain.cases if may_ride(case, task.rules) or case.code in free]
    codes = {case.code for case in riders}
    hosts = [case for case in plain.cases if case.code not in codes]
    twins = [
        *find_twins(plain.only(hosts), fine=False),
        *find_twins(plain.only(riders), fine=False, by_mass=True),
    ]
    finder = BenchFinder(plain, twins, lambda one: one.light)
    towers = finder.bare_towers(LOOSE_WORK)
    shared = [bench for tower in towers for bench in _in_shared_rows(tower, finder)]
    riding = [
        BenchType((), (number,), (), *pool, frozenset())
        for number, one in enumerate(twins)
        if one.heavy.code in codes and _may_find_a_lid(plain, finder, towers, one, free)
        for pool in ((one.drop - 1, one.drop), (one.drop, one.drop), (one.drop, one.drop + 1))
    ]
    towers += shared
    demand = open_demand(plain.vehicles, twins, [*towers, *riding])
    sums = Sums(plain, twins, towers, riding, free, finder.ceiling)
    demand.cuts = _distinct(sums.cuts())
    return demand


def _in_shared_rows(tower: BenchType, finder: BenchFinder) -> Iterator[BenchType]:
    """Yield a tower of one drop as it stands in a row shared with the drop before or after.

    Only there does a lid take riders of the other drop; in such a row all count as shared.
    """
    if tower.lo == tower.hi and takes_riders(finder.cases[tower.towers[0][-1]]):
        yield replace(tower, lo=tower.lo - 1)
        yield replace(tower, hi=tower.hi + 1)


def _may_find_a_lid(
    task: Task, finder: BenchFinder, towers: Sequence[BenchType], one: Twins, free: set[str]
) -> bool:
    """Return whether some lid is low enough; how strong it is the sums tell."""
    if one.heavy.code in free:
        return True
    size = lowest_height(task, one.light)
    return any(
        takes_riders(finder.cases[tower.towers[0][-1]])
        and sum(finder.cases[i].height_um for i in tower.towers[0]) + size <= finder.ceiling
        for tower in towers
    )


def _distinct(cuts: Iterator[Cut]) -> list[Cut]:
    """Return cuts without repeats and without those that forbid nothing."""
    found: list[Cut] = []
    for cut in cuts:
        if any(value < 0 for value in cut.entries.values()) and all(
            cut.entries != one.entries for one in found
        ):
            found.append(cut)
    return found
