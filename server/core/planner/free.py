"""The row problem with all riding for nothing: what no plan can undercut, priced in a moment."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence

from server.core.case import Case
from server.core.planner.bands import Kind, Outline, Pair, Problem, make_problem
from server.core.planner.lids import may_ride, takes_casters, takes_riders, wishes_agree
from server.core.planner.model import Task

Family = tuple[int, int]


def free_problem(task: Task) -> Problem:
    """Return the rows that are needed if every case that might ride needs no floor.

    Equal footprints on lid casters count as full towers: cases of one drop and footprint need at
    least their number divided by the highest tower, and a tower in a shared row may serve both
    its drops. Nothing in here depends on a search, so the bound holds for every lawful plan.
    """
    tall = max(vehicle.height_um for vehicle in task.vehicles)
    tops: dict[int, list[Case]] = defaultdict(list)
    for case in task.cases:
        if takes_riders(case) and "upright" in case.stances and case.code not in task.tied:
            tops[case.drop].append(case)
    families: dict[Family, list[Case]] = defaultdict(list)
    for case in task.cases:
        families[family_of(case)].append(case)
    counted: dict[tuple[Outline, int, frozenset[int]], int] = defaultdict(int)
    piled: dict[tuple[Outline, int, frozenset[int]], tuple[Family, int]] = {}
    for family, members in sorted(families.items()):
        high = tower_limit(members, tall, task)
        by_kind: dict[tuple[Outline, int, frozenset[int]], int] = defaultdict(int)
        for case in members:
            if high > 1 and may_ride(case, task.rules):
                continue
            if might_ride(case, tops, task, tall):
                continue
            by_kind[outline_of(task, case), case.drop, rooms_of(task, case)] += 1
        for kind, number in by_kind.items():
            if high > 1:
                piled[kind] = (family, high)
            counted[kind] += number
    counted = _towers(task, counted, piled)
    order = sorted(counted, key=lambda kind: (kind[1], kind[0], sorted(kind[2])))
    kinds = [
        Kind(outline, drop, drop, rooms, counted[outline, drop, rooms])
        for outline, drop, rooms in order
    ]
    pairs = [
        Pair(
            i,
            j,
            kinds[i].outline,
            _caster_lids(task, piled[one][0], one[1]) + _caster_lids(task, piled[one][0], other[1]),
        )
        for i, one in enumerate(order)
        for j, other in enumerate(order)
        if one in piled
        and other in piled
        and piled[one][0] == piled[other][0]
        and other[1] == one[1] + 1
    ]
    return make_problem(task.vehicles, kinds, pairs)


def _towers(
    task: Task,
    counted: dict[tuple[Outline, int, frozenset[int]], int],
    piled: dict[tuple[Outline, int, frozenset[int]], tuple[Family, int]],
) -> dict[tuple[Outline, int, frozenset[int]], int]:
    """Turn cases of a pile family into towers; members that differ in outline count together."""
    sums: dict[tuple[Family, int], list[tuple[Outline, int, frozenset[int]]]] = defaultdict(list)
    for kind, (family, _) in piled.items():
        sums[family, kind[1]].append(kind)
    result = dict(counted)
    for family_and_drop, kinds in sums.items():
        high = piled[kinds[0]][1]
        number = sum(counted[kind] for kind in kinds)
        # Each case but the highest of its drop in a tower has a lid that takes casters.
        lids = _caster_lids(task, *family_and_drop)
        need = max(-(-number // high), number - lids)
        loosest = max(kinds, key=lambda kind: (len(kind[0]), len(kind[2]), kind[0]))
        for kind in kinds:
            result.pop(kind)
        result[loosest] = need
    return result


def _caster_lids(task: Task, family: Family, drop: int) -> int:
    """Return how many cases of a footprint and drop may carry another on casters."""
    return sum(
        takes_casters(case) and case.drop == drop and family_of(case) == family
        for case in task.cases
    )


def family_of(case: Case) -> Family:
    """Return the two sides of the footprint, the shorter first."""
    one, other = sorted((case.length_um, case.width_um))
    return one, other


def outline_of(task: Task, case: Case) -> Outline:
    """Return every footprint a lone case can take in any vehicle, undercut ones left out."""
    kept: list[tuple[int, int]] = []
    for width, depth in sorted((way.dx, way.dy) for way in task.ways(case)):
        if not kept or depth < kept[-1][1]:
            kept.append((width, depth))
    return tuple(kept)


def rooms_of(task: Task, case: Case) -> frozenset[int]:
    """Return the vehicles that a lone case may go in."""
    return frozenset(
        index
        for index, room in enumerate(task.vehicles)
        if case.vehicle in (None, room.id)
        and any(
            way.dz <= room.passing_height_um and way.dx <= room.width_um for way in task.ways(case)
        )
    )


def tower_limit(members: Sequence[Case], tall: int, task: Task) -> int:
    """Return the most cases of one footprint that any tower could hold."""
    if len(members) < 2 or not any(takes_casters(c) and c.code not in task.tied for c in members):
        return 1
    heights = sorted(case.height_um for case in members)
    masses = sorted(case.mass_g for case in members)
    strongest = max((case.lid_load_g or 0) for case in members if takes_casters(case))
    total = count = load = 0
    for height in heights:
        total += height
        # Above the bottom case stand `count` others, at best the lightest ones.
        if total > tall or (count and load > strongest + len(members)):
            break
        load += masses[count]
        count += 1
    return max(1, count)


def might_ride(case: Case, tops: dict[int, list[Case]], task: Task, tall: int) -> bool:
    """Return whether some lid of the same or a neighbouring drop might carry this rider."""
    if not may_ride(case, task.rules) or case.code in task.tied:
        return False
    low = min(way.dz for way in task.ways(case)) if task.ways(case) else 0
    ceiling = min(tall, task.rules.lift_top_um or tall)
    narrow = min(case.length_um, case.width_um, case.height_um)
    return any(
        lower.code != case.code
        and lower.height_um + low <= ceiling
        # A bridging rider may leave half its mass to the neighbour.
        and case.mass_g <= 2 * (lower.lid_load_g or 0) + 2
        and max(lower.length_um, lower.width_um) >= narrow
        and wishes_agree(case, lower)
        for drop in (case.drop - 1, case.drop, case.drop + 1)
        for lower in tops.get(drop, ())
    )
