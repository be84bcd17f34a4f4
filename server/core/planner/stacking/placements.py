"""Every lawful way to set down towers side by side with riders on their lids, fully checked."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise, permutations, product

from server.core.planner.problem.model import Footing, Put, Task, Way
from server.core.planner.stacking.lid_rules import (
    Box,
    Sides,
    arrange,
    centred,
    flat,
    lid_holds,
    may_ride,
    shares,
    takes_casters,
    takes_riders,
    wishes_agree,
)
from server.core.shop.case import Case

Tower = tuple[Case, ...]  # cases of one footprint, from the floor up


def footings(task: Task, towers: Sequence[Tower], riders: Sequence[Case]) -> tuple[Footing, ...]:
    """Return the footings of towers bridged by riders; empty when the rules forbid them all."""
    if len(towers) == 1 and len(towers[0]) == 1 and not riders:
        case = towers[0][0]
        alone = [Footing(way.dx, way.dy, (Put(case, way),)) for way in task.ways(case)]
        return undercut(alone)
    if not all(tower_stands(task, tower) for tower in towers):
        return ()
    if riders and not riders_allowed(task, towers, riders):
        return ()
    found = [
        footing for lids in _settings(task, towers) for footing in _set_down(task, lids, riders)
    ]
    return undercut(found)


def undercut(found: Sequence[Footing]) -> tuple[Footing, ...]:
    """Drop each footing that another undercuts in width and depth."""
    kept: list[Footing] = []
    for one in sorted(found, key=lambda f: (f.width, f.depth)):
        if not kept or one.depth < kept[-1].depth:
            kept.append(one)
    return tuple(kept)


def tower_stands(task: Task, tower: Tower) -> bool:
    """Return whether each case of a tower may stand on casters on the one below it."""
    for lower, upper in pairwise(tower):
        if not takes_casters(lower) or not wishes_agree(upper, lower):
            return False
        if sorted((lower.length_um, lower.width_um)) != sorted((upper.length_um, upper.width_um)):
            return False
    above = count = 0
    for case in reversed(tower):
        if count and not lid_holds(case, above, count):
            return False
        above, count = above + case.mass_g, count + 1
    return sum(case.height_um for case in tower) <= task.height


def riders_allowed(task: Task, towers: Sequence[Tower], riders: Sequence[Case]) -> bool:
    """Return whether every rider may ride and every lid below may take it, wherever it stands."""
    for rider in riders:
        if not may_ride(rider, task.rules):
            return False
        for tower in towers:
            if not takes_riders(tower[-1]):
                return False
            if not all(wishes_agree(rider, lower) for lower in tower):
                return False
    return True


def upright(task: Task, tower: Tower) -> list[tuple[Way, ...]]:
    """Return each orientation in which all cases of a tower stand upright on one footprint."""
    found = []
    for base in task.ways(tower[0]):
        if base.stance != "upright":
            continue
        ways = [base]
        for case in tower[1:]:
            match = [
                way
                for way in task.ways(case)
                if way.stance == "upright" and (way.dx, way.dy) == (base.dx, base.dy)
            ]
            ways += match[:1]
        if len(ways) == len(tower):
            found.append(tuple(ways))
    return found


Raised = tuple[Tower, tuple[Way, ...]]


def _settings(task: Task, towers: Sequence[Tower]) -> Iterator[tuple[Raised, ...]]:
    """Yield each order and orientation of the towers that fits across the floor."""
    seen = set()
    for order in permutations(towers) if len(towers) == 2 else (tuple(towers),):
        for ways in product(*(upright(task, tower) for tower in order)):
            key = tuple(tuple(case.code for case in tower) for tower in order), ways
            if key not in seen and sum(way[0].dx for way in ways) <= task.width:
                seen.add(key)
                yield tuple(zip(order, ways, strict=True))


def _set_down(task: Task, raised: Sequence[Raised], riders: Sequence[Case]) -> list[Footing]:
    """Return the footing of raised towers with the riders arranged on top, if there is one."""
    tops = {sum(way.dz for way in ways) for _, ways in raised}
    if len(raised) > 1 and len(tops) > 1:
        return []
    top = max(tops)
    lids: Sides = tuple((ways[0].dx, ways[0].dy) for _, ways in raised)
    ceiling = min(task.height, task.rules.lift_top_um or task.height)
    choices = [[way for way in task.ways(rider) if top + way.dz <= ceiling] for rider in riders]
    if not all(choices):
        return []
    boxes = arrange(lids, tuple(flat(ways) for ways in choices))
    if boxes is None:
        return []
    boxes = centred(lids, boxes)
    if not lids_hold(raised, riders, boxes):
        return []
    puts = towers_put(raised)
    for rider, ways, box in zip(riders, choices, boxes, strict=True):
        way = min((w for w in ways if (w.dx, w.dy) == box[2:]), key=lambda w: w.dz)
        on = tuple(raised[lid][0][-1].code for lid, _ in shares(box, lids))
        puts.append(Put(rider, way, box[0], box[1], top, on))
    return [Footing(sum(dx for dx, _ in lids), max(dy for _, dy in lids), tuple(puts))]


def towers_put(raised: Sequence[Raised]) -> list[Put]:
    """Return where the cases of raised towers stand."""
    puts, start = [], 0
    for tower, ways in raised:
        height = 0
        below: tuple[str, ...] = ()
        for case, way in zip(tower, ways, strict=True):
            puts.append(Put(case, way, start, 0, height, below))
            height, below = height + way.dz, (case.code,)
        start += ways[0].dx
    return puts


def lids_hold(raised: Sequence[Raised], riders: Sequence[Case], boxes: Sequence[Box]) -> bool:
    """Return whether each lid carries all above it; a bridging rider counts by its share."""
    lids: Sides = tuple((ways[0].dx, ways[0].dy) for _, ways in raised)
    loads = [0.0] * len(raised)
    parts = [0] * len(raised)
    for rider, box in zip(riders, boxes, strict=True):
        for lid, over in shares(box, lids):
            loads[lid] += rider.mass_g * over / box[2]
            parts[lid] += 1
    for (tower, _), load, part in zip(raised, loads, parts, strict=True):
        above, count = round(load), part
        for case in reversed(tower):
            if count and not lid_holds(case, above, count):
                return False
            above, count = above + case.mass_g, count + 1
    return True
