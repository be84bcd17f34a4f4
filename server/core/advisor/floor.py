"""Least floor length of a load in rows, as an interval between a proven bound and rows found.

The cases alone are asked: drops, axle limits and wishes for a place are left to the planner, so
that two fleets are compared by their sides. Floor is counted in one vehicle without an end.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Final

from server.core.advisor.floor_bound import bound_of, endless
from server.core.planner.column_generation.covering import Demand
from server.core.planner.column_generation.gap_enumeration import shortest_rows
from server.core.planner.column_generation.row_problem import (
    Kind,
    fill_patterns,
    make_problem,
    sort_stacks,
)
from server.core.planner.construction.greedy_stacks import build_stacks
from server.core.planner.problem.answer import NoPlan
from server.core.planner.problem.deadline import Clock
from server.core.planner.problem.model import Line, Stack, Standing, Task
from server.core.planner.solve import solve
from server.core.planner.stacking.lid_rules import takes_casters, takes_riders
from server.core.shop.case import Case
from server.core.shop.plan import Row
from server.core.shop.show import Rules, Show
from server.core.shop.vehicle import Vehicle

SECONDS: Final = 0.5  # for one load in one vehicle; most are proven in a tenth of that


@dataclass(frozen=True, slots=True)
class FoundStack:
    """What stands on the floor of a row: its sides, how many cases, the name of the lowest."""

    across_um: int
    along_um: int
    high: int
    name: str


@dataclass(frozen=True, slots=True)
class FoundRow:
    """One row that was found; `lifts`: cases that stand on lids."""

    depth_um: int
    mass_g: int
    lifts: int
    stacks: tuple[FoundStack, ...]


@dataclass(frozen=True, slots=True)
class Floor:
    """Floor length that a load takes: no rows take less than `low_um`, these take `high_um`.

    `worth` is what one case of each code adds to the bound (dual values of the linear programme
    over rows); the worths of all cases sum up to the bound before it is rounded up.
    """

    low_um: int
    high_um: int
    rows: tuple[FoundRow, ...] = ()
    worth: tuple[tuple[str, float], ...] = ()

    @property
    def proven(self) -> bool:
        """Return whether no rows are shorter."""
        return self.low_um == self.high_um


def bare(case: Case) -> Case:
    """Return a case without the wishes of one show."""
    return replace(case, drop=1, vehicle=None, near=None, together=None, never_beside=())


def floor_of(
    cases: Sequence[Case], vehicle: Vehicle, rules: Rules, planned: float = 0.0
) -> Floor | None:
    """Return the floor of a load in rows; None where some case does not fit this vehicle at all.

    `planned`: seconds that the planner has to narrow an interval that riders leave open.
    """
    load, room = tuple(bare(case) for case in cases), _room(vehicle)
    floor = _floor(load, room, rules, SECONDS)
    if floor is None or floor.proven or planned <= 0 or room.narrow:
        return floor
    return _planned(load, room, rules, planned)


@lru_cache(maxsize=1_024)
def _planned(cases: tuple[Case, ...], vehicle: Vehicle, rules: Rules, seconds: float) -> Floor:
    """Return the narrower of two intervals: the one by rows, and the planner's own."""
    floor = _floor(cases, vehicle, rules, SECONDS)
    assert floor is not None
    show = Show("", (endless(vehicle),), cases, rules=rules)
    plan = solve(show, seconds)
    if isinstance(plan, NoPlan):
        return floor
    low = max(floor.low_um, plan.lower_bound_um)
    if plan.floor_length_um >= floor.high_um:
        return replace(floor, low_um=min(low, floor.high_um))
    by_code = {case.code: case for case in cases}
    rows = tuple(_row_of(row, by_code) for one in plan.vehicles for row in one.rows)
    high = plan.floor_length_um
    return Floor(min(low, high), high, rows, floor.worth)


def _row_of(row: Row, by_code: Mapping[str, Case]) -> FoundRow:
    """Return a row of a plan as a found one; a rider counts where its left edge stands."""
    base = [place for place in row.places if place.z == 0]
    return FoundRow(
        row.depth,
        sum(by_code[place.code].mass_g for place in row.places),
        len(row.places) - len(base),
        tuple(
            FoundStack(
                place.dx,
                place.dy,
                sum(place.x <= other.x < place.x + place.dx for other in row.places),
                by_code[place.code].name or place.code,
            )
            for place in sorted(base, key=lambda one: one.x)
        ),
    )


def _found(line: Line) -> FoundRow:
    """Return a line of the search as a found row."""
    puts = [put for one in line.standings for put in one.footing.puts]
    return FoundRow(
        line.depth,
        line.mass_g,
        sum(put.z > 0 for put in puts),
        tuple(
            FoundStack(
                one.footing.width,
                one.footing.depth,
                len(one.stack.cases),
                one.stack.cases[0].name or one.stack.cases[0].code,
            )
            for one in line.standings
        ),
    )


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
    low, worth = bound_of(task, cases, seconds, whole=not alone)
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
    return Floor(min(low, high), high, tuple(_found(line) for line in lines), worth)


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
    problem = make_problem((endless(room),), kinds)
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


def vehicles_needed(floor: Floor, vehicle: Vehicle, mass_g: int) -> tuple[int, int]:
    """Return how many vehicles of this kind a load needs: at least, and with the rows found."""
    by_mass = -(-mass_g // vehicle.payload_g) if vehicle.payload_g else 0
    least = max(1, -(-floor.low_um // vehicle.length_um), by_mass)
    rooms: list[list[int]] = []  # floor and mass of each vehicle so far
    for row in sorted(floor.rows, key=lambda one: -one.depth_um):
        for room in rooms:
            fits = room[0] + row.depth_um <= vehicle.length_um
            if fits and (not vehicle.payload_g or room[1] + row.mass_g <= vehicle.payload_g):
                room[0] += row.depth_um
                room[1] += row.mass_g
                break
        else:
            rooms.append([row.depth_um, row.mass_g])
    if not floor.rows:
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
