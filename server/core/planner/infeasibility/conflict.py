"""Drop order against axle limits: whether they conflict, and the cheapest ways out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from server.core.base.units import from_g
from server.core.planner.construction.vehicle_sets import greedy_loads
from server.core.planner.improvement.row_order import order_rows
from server.core.planner.improvement.violation import axles_broken
from server.core.planner.problem.answer import WayOut
from server.core.planner.problem.model import Line, Load, Task
from server.core.planner.problem.plan_writer import supports
from server.core.shop.case import Case
from server.core.shop.show import Show
from server.core.shop.vehicle import Vehicle


def explain_axles(show: Show, task: Task) -> tuple[list[str], list[WayOut]]:
    """Return which axle stops the load as its drops stand, and which change of drops frees it."""
    reasons: list[str] = []
    ways: list[WayOut] = []
    loads, left = greedy_loads(task, task.vehicles)
    if left:
        return reasons, ways
    for load in loads:
        if not load.lines or order_rows(load.vehicle, load.lines) is not None:
            continue
        if not axles_broken(load):
            continue
        reasons.append(_which_axle(show, load))
        found = _ways(task, load)
        ways += found
        if not found and not _free(load):
            reasons.append(f"no order of these rows keeps the axles of {load.vehicle.id}")
    return reasons, ways


def _which_axle(show: Show, load: Load) -> str:
    front, rear = supports(load)
    axles = load.vehicle.axles
    assert axles is not None
    assert front is not None
    assert rear is not None
    unit = show.units.mass
    for name, mass, limit in (
        ("front support", front, axles.front_limit_g),
        ("rear support", rear, axles.rear_limit_g),
    ):
        if limit is not None and mass > limit:
            over = f"{from_g(mass - limit, unit):,.0f} {unit}"
            return f"in drop order the {name} of {load.vehicle.id} is over its limit by {over}"
    share = front / (front + rear) if front + rear else 0.0
    least = axles.least_share
    asked = "" if least is None or share >= least else f", at least {least:.0%} is asked"
    return (
        f"in drop order {share:.1%} of the gross mass of {load.vehicle.id} rests on its front"
        f"{asked}"
    )


def _free(load: Load) -> bool:
    """Return whether the axles hold if drops did not matter."""
    lines = [_as_drop(line, dict.fromkeys(range(1, 100), 1)) for line in load.lines]
    return order_rows(load.vehicle, lines) is not None


def _ways(task: Task, load: Load) -> list[WayOut]:
    """Return each pair of neighbouring drops whose exchange, or mixing, keeps the axles."""
    drops = sorted({case.drop for line in load.lines for case in line.cases})
    found = []
    for first, second in pairwise(drops):
        for text, change in (
            (f"take drop {second} off before drop {first}", {first: second, second: first}),
            (f"let drops {first} and {second} come off together", {second: first}),
        ):
            if _holds(task, load.vehicle, load.lines, change):
                moved = [c for line in load.lines for c in line.cases if c.drop in change]
                found.append(_way(text, moved))
                break
    return found


def _holds(task: Task, vehicle: Vehicle, lines: Sequence[Line], change: dict[int, int]) -> bool:
    cases = [replace(c, drop=change.get(c.drop, c.drop)) for line in lines for c in line.cases]
    loads, left = greedy_loads(replace(task, vehicles=(vehicle,)).only(cases), (vehicle,))
    return not left and order_rows(vehicle, loads[0].lines) is not None


def _way(text: str, cases: Sequence[Case]) -> WayOut:
    return WayOut(text, (), sum(case.mass_g for case in cases), 0)


def _as_drop(line: Line, change: dict[int, int]) -> Line:
    """Return a row whose cases have other drops."""
    standings = []
    for one in line.standings:
        footings = tuple(
            replace(
                footing,
                puts=tuple(
                    replace(put, case=replace(put.case, drop=change.get(put.case.drop, 1)))
                    for put in footing.puts
                ),
            )
            for footing in one.stack.footings
        )
        stack = replace(one.stack, footings=footings)
        standings.append(
            replace(one, stack=stack, footing=stack.footing(one.footing.width, one.footing.depth))
        )
    return Line(tuple(standings))
