"""The simplest bound: the floor area that cases take at least, divided by the widest floor."""

from __future__ import annotations

from collections import defaultdict

from server.core.planner.problem.model import Task
from server.core.planner.stacking.item_types import family
from server.core.planner.stacking.lid_rules import may_ride, takes_casters
from server.core.shop.case import Case


def area_bound(task: Task) -> int:
    """Return a floor length that no plan undercuts, at once and for any number of cases."""
    if not task.cases:
        return 0
    area, deepest = floor_needs(task)
    return max(deepest, -(-area // task.width))


def floor_needs(task: Task) -> tuple[int, int]:
    """Return the floor area that no plan undercuts, and the depth of its deepest row."""
    lids = {family(case) for case in task.cases if takes_casters(case)}
    area, deepest = 0, 0
    piled: dict[tuple[int, int], list[Case]] = defaultdict(list)
    for case in task.cases:
        floors = [(way.dx, way.dy) for way in task.ways(case)]
        if not floors or may_ride(case, task.rules):
            continue
        onto = lids & {(min(floor), max(floor)) for floor in floors}
        if not onto:
            area += min(dx * dy for dx, dy in floors)
            deepest = max(deepest, min(dy for _, dy in floors))
        elif onto == {family(case)} and case.stances == ("upright",):
            piled[family(case)].append(case)
    tall = max(vehicle.height_um for vehicle in task.vehicles)
    for (one, other), cases in piled.items():
        levels = max(1, tall // min(case.height_um for case in cases))
        area += -(-len(cases) // levels) * one * other
    return area, deepest
