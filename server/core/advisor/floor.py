"""Least floor length of a load in rows, as an interval between a proven bound and rows found.

The cases alone are asked: drops, axle limits and wishes for a place are left to the planner, so
that two fleets are compared by their sides. Floor is counted in one vehicle without an end.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from math import ceil
from typing import Final

from server.core.planner.column_generation.covering import Demand
from server.core.planner.column_generation.gap_enumeration import shortest_rows
from server.core.planner.column_generation.restricted_master import price_out
from server.core.planner.column_generation.row_problem import (
    Kind,
    Outline,
    fill_patterns,
    make_problem,
    sort_stacks,
)
from server.core.planner.construction.greedy_stacks import build_stacks
from server.core.planner.problem.deadline import Clock
from server.core.planner.problem.model import Line, Stack, Standing, Task
from server.core.planner.stacking.lid_rules import may_ride, takes_casters, takes_riders
from server.core.shop.case import Case
from server.core.shop.show import Rules
from server.core.shop.vehicle import Vehicle

ENDLESS: Final = 1_000  # vehicle lengths end to end: more than any fleet fills
SECONDS: Final = 0.5  # for one load in one vehicle; most are proven in a tenth of that


@dataclass(frozen=True, slots=True)
class Floor:
    """Floor length that a load takes: no rows take less than `low_um`, these take `high_um`.

    `worth` is what one case of each code adds to the bound (dual values of the linear programme
    over rows); the worths of all cases sum up to the bound before it is rounded up.
    """

    low_um: int
    high_um: int
    lines: tuple[Line, ...] = ()
    worth: tuple[tuple[str, float], ...] = ()

    @property
    def proven(self) -> bool:
        """Return whether no rows are shorter."""
        return self.low_um == self.high_um


def bare(case: Case) -> Case:
    """Return a case without the wishes of one show."""
    return replace(case, drop=1, vehicle=None, near=None, together=None, never_beside=())


def floor_of(
    cases: Sequence[Case], vehicle: Vehicle, rules: Rules, seconds: float = SECONDS
) -> Floor | None:
    """Return the floor of a load in rows; None where some case does not fit this vehicle at all."""
    return _floor(tuple(bare(case) for case in cases), _room(vehicle), rules, seconds)


def _room(vehicle: Vehicle) -> Vehicle:
    """Return the inside room alone, so that equal rooms are asked once."""
    return Vehicle(
        "",
        vehicle.width_um,
        vehicle.length_um,
        vehicle.height_um,
        door_height_um=vehicle.door_height_um,
        narrow=vehicle.narrow,
    )


@lru_cache(maxsize=4_096)
def _floor(cases: tuple[Case, ...], vehicle: Vehicle, rules: Rules, seconds: float) -> Floor | None:
    if not cases:
        return Floor(0, 0)
    task = Task(rules, (vehicle,), cases)
    if any(not task.ways(case) for case in cases):
        return None
    alone = not any(takes_casters(case) or takes_riders(case) for case in cases)
    low, worth = _bound(task, cases, seconds, whole=not alone)
    # Wheel boxes: the rows found keep clear of them along the whole floor.
    slim = min([vehicle.width_um, *(one.width_um for one in vehicle.narrow)])
    found = _rows(Task(rules, (replace(vehicle, width_um=slim, narrow=()),), cases), low, seconds)
    if found is None and slim < vehicle.width_um:
        found = _rows(task, low, seconds)  # too wide for the stretch: it stands before or behind
    if found is None:
        return None
    lines, proven = found
    high = sum(line.depth for line in lines)
    if alone and slim == vehicle.width_um:
        low = max(low, proven)
    return Floor(min(low, high), high, lines, worth)


def _rows(task: Task, least: int, seconds: float) -> tuple[tuple[Line, ...], int] | None:
    """Return rows for greedy stacks, and the bound for these stacks; None: some fit nowhere."""
    room = task.vehicles[0]
    if any(not task.ways(case) for case in task.cases):
        return None
    stacks = build_stacks(task)
    if sum(len(stack.cases) for stack in stacks) < len(task.cases):
        return None
    kinds, members = sort_stacks((room,), stacks)
    if any(not kind.rooms for kind in kinds):
        return None
    problem = make_problem((_endless(room),), kinds)
    found = shortest_rows(problem, Demand(problem), Clock.of(seconds), bind_lengths=False)
    if found.chosen is None or found.chosen.rows is None:
        return _one_kind_a_row(kinds, members, room.width_um), max(least, found.bound)
    (lines,) = fill_patterns(problem, found.chosen.rows, members)
    return tuple(lines), found.bound


def _one_kind_a_row(
    kinds: Sequence[Kind], members: Sequence[Sequence[Stack]], width: int
) -> tuple[Line, ...]:
    """Return rows of one kind each: what is left where no time was left."""
    lines = []
    for kind, group in zip(kinds, members, strict=True):
        across, depth = min(
            (one for one in kind.outline if one[0] <= width), key=lambda one: one[0] * one[1]
        )
        count = width // across
        for start in range(0, len(group), count):
            part = group[start : start + count]
            lines.append(Line(tuple(Standing(one, one.footing(across, depth)) for one in part)))
    return tuple(lines)


def _endless(vehicle: Vehicle) -> Vehicle:
    return replace(vehicle, length_um=vehicle.length_um * ENDLESS, narrow=())


def _bound(
    task: Task, cases: Sequence[Case], seconds: float, *, whole: bool
) -> tuple[int, tuple[tuple[str, float], ...]]:
    """Return a floor length that no rows of these cases undercut, and what each case adds to it.

    `whole`: whole rows are looked for too; without stacks the rows themselves prove as much.
    """
    groups = _relaxed(task, cases)
    room = task.vehicles[0]
    kinds = [Kind(outline, 1, 1, frozenset({0}), count) for outline, count, _ in groups]
    problem = make_problem((_endless(room),), kinds)
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


def vehicles_needed(floor: Floor, vehicle: Vehicle, mass_g: int) -> tuple[int, int]:
    """Return how many vehicles of this kind a load needs: at least, and with the rows found."""
    by_mass = -(-mass_g // vehicle.payload_g) if vehicle.payload_g else 0
    least = max(1, -(-floor.low_um // vehicle.length_um), by_mass)
    rooms: list[list[int]] = []  # floor and mass of each vehicle so far
    for line in sorted(floor.lines, key=lambda one: -one.depth):
        for room in rooms:
            fits = room[0] + line.depth <= vehicle.length_um
            if fits and (not vehicle.payload_g or room[1] + line.mass_g <= vehicle.payload_g):
                room[0] += line.depth
                room[1] += line.mass_g
                break
        else:
            rooms.append([line.depth, line.mass_g])
    if not floor.lines:
        return 0, 0
    return min(least, len(rooms)), len(rooms)


def kinds_of(cases: Iterable[Case]) -> list[tuple[Case, list[str]]]:
    """Return cases that stand alike, each with the codes of all of them."""
    found: dict[tuple[object, ...], tuple[Case, list[str]]] = {}
    for case in cases:
        sides = (case.length_um, case.width_um, case.height_um)
        ways = (case.turn, case.stances, case.lid_casters, case.lid_load_g, case.rides)
        found.setdefault((*sides, *ways, case.mass_g), (case, []))[1].append(case.code)
    return list(found.values())
