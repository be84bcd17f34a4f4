"""A floor length that no rows of some cases undercut, and what each case adds to it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import replace
from math import ceil
from typing import Final

from server.core.planner.column_generation.covering import Demand
from server.core.planner.column_generation.gap_enumeration import shortest_rows
from server.core.planner.column_generation.restricted_master import price_out
from server.core.planner.column_generation.row_problem import Kind, Outline, make_problem
from server.core.planner.problem.deadline import Clock
from server.core.planner.problem.model import Task
from server.core.planner.stacking.lid_rules import may_ride, takes_casters, takes_riders
from server.core.shop.case import Case
from server.core.shop.vehicle import Vehicle

ENDLESS: Final = 1_000  # vehicle lengths end to end: more than any fleet fills


def endless(vehicle: Vehicle) -> Vehicle:
    """Return a vehicle that no load of the shop fills, without wheel boxes."""
    return replace(vehicle, length_um=vehicle.length_um * ENDLESS, narrow=())


def bound_of(
    task: Task, cases: Sequence[Case], seconds: float, *, whole: bool
) -> tuple[int, tuple[tuple[str, float], ...]]:
    """Return a floor length that no rows of these cases undercut, and what each case adds to it.

    `whole`: whole rows are looked for too; without stacks the rows themselves prove as much.
    """
    groups = _relaxed(task, cases)
    room = task.vehicles[0]
    kinds = [Kind(outline, 1, 1, frozenset({0}), count) for outline, count, _ in groups]
    problem = make_problem((endless(room),), kinds)
    demand = Demand(problem)
    clock = Clock.of(seconds)
    priced, _ = price_out(problem, demand, (), clock.over, bind_lengths=False)
    area = sum(min(w * d for w, d in outline) * count for outline, count, _ in groups)
    by_area = -(-area // room.width_um)
    if not priced.converged:
        return problem.next_sum(-(-by_area // problem.step)) * problem.step, ()
    least = max(ceil(priced.bound - 1e-6), -(-by_area // problem.step))
    low = problem.next_sum(least) * problem.step
    if whole:
        low = max(low, shortest_rows(problem, demand, clock, bind_lengths=False).bound)
    worth = [
        (code, priced.duals[number] * problem.step * count / len(codes))
        for number, (_, count, codes) in enumerate(groups)
        for code in codes
    ]
    return low, tuple(worth)


def _relaxed(task: Task, cases: Sequence[Case]) -> list[tuple[Outline, int, list[str]]]:
    """Return outlines with how many stand on the floor at least, and the codes behind each.

    What may ride where some lid takes riders is left out; equal footprints on lid casters stand on
    no fewer places than height and lids allow. Every lawful plan stands on at least these.
    """
    some_lid = any(takes_riders(case) for case in cases)
    families: dict[tuple[object, ...], list[Case]] = defaultdict(list)
    casters = {_sides(case) for case in cases if takes_casters(case)}
    for case in cases:
        if may_ride(case, task.rules) and (some_lid or _sides(case) in casters):
            continue
        sides = _sides(case)
        alone = (
            () if sides in casters else (case.turn, case.stances, case.length_um, case.height_um)
        )
        families[(*sides, *alone)].append(case)
    groups: dict[Outline, tuple[int, list[str]]] = {}
    for family in families.values():
        ways = {(way.dx, way.dy) for case in family for way in task.ways(case)}
        outline = tuple(sorted(one for one in ways if not _undercut(one, ways)))
        count, codes = groups.get(outline, (0, []))
        places = _places(task, family, cases)
        groups[outline] = (count + places, [*codes, *(case.code for case in family)])
    return [(outline, count, codes) for outline, (count, codes) in sorted(groups.items())]


def _places(task: Task, family: Sequence[Case], cases: Sequence[Case]) -> int:
    """Return on how many places of the floor cases of one footprint stand at least."""
    sides = _sides(family[0])
    lids = sum(takes_casters(case) for case in cases if _sides(case) == sides)
    if not lids:
        return len(family)
    low = min(case.height_um for case in family)
    high = max(1, task.vehicles[0].height_um // low)
    return max(1, -(-len(family) // high), len(family) - lids)


def _undercut(one: tuple[int, int], ways: Iterable[tuple[int, int]]) -> bool:
    return any(w <= one[0] and d <= one[1] and (w, d) != one for w, d in ways)


def _sides(case: Case) -> tuple[int, int]:
    one, other = sorted((case.length_um, case.width_um))
    return one, other
