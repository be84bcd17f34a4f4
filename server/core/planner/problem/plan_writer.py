"""Loads turned into a plan: coordinates, slack, straps, masses on the supports."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from server.core.planner.problem.model import Line, Load, floor_width
from server.core.securing.slack import row_slack_um
from server.core.shop.plan import LeftOut, Place, Plan, Row, VehiclePlan
from server.core.shop.vehicle import Axles, Vehicle

StrapsOf = Callable[[Vehicle, Sequence[Row]], Sequence[int]]


def one_a_row(vehicle: Vehicle, rows: Sequence[Row]) -> Sequence[int]:
    """Return one strap for each row of a vehicle: the house minimum where no rule set is asked."""
    del vehicle
    return [1] * len(rows)


def make_row(vehicle: Vehicle, line: Line, number: int, start: int) -> Row:
    """Return a row with every case in its place; stacks stand from the left wall on."""
    places = []
    x = 0
    for one in line.standings:
        free = floor_width(vehicle, start, one.footing.depth)
        x = max(x, (vehicle.width_um - free + 1) // 2)
        for put in one.footing.puts:
            place = Place(
                code=put.case.code,
                x=x + put.x,
                y=start + put.y,
                z=put.z,
                dx=put.way.dx,
                dy=put.way.dy,
                dz=put.way.dz,
                stance=put.way.stance,
                turned=put.way.turned,
                on=put.on,
            )
            places.append(place)
        x += one.footing.width
    slack = row_slack_um(vehicle, start, line.depth, places)
    return Row(number, start, line.depth, slack, 0, tuple(places))


def make_vehicle(load: Load, straps_of: StrapsOf = one_a_row) -> VehiclePlan:
    """Return the plan of one vehicle."""
    rows: list[Row] = []
    start = 0
    for number, line in enumerate(load.lines, start=1):
        rows.append(make_row(load.vehicle, line, number, start))
        start += line.depth
    counts = straps_of(load.vehicle, rows)
    strapped = tuple(
        Row(row.number, row.start, row.depth, row.slack, count, row.places)
        for row, count in zip(rows, counts, strict=True)
    )
    front, rear = supports(load)
    return VehiclePlan(load.vehicle.id, strapped, start, load.mass_g, front, rear)


def supports(load: Load) -> tuple[int | None, int | None]:
    """Return grams on the front and rear support by moments, or None without axles."""
    axles = load.vehicle.axles
    if axles is None:
        return None, None
    rear = round(exact_supports(load, axles)[1]) - axles.empty_rear_g
    return axles.empty_front_g + load.mass_g - rear, axles.empty_rear_g + rear


def exact_supports(load: Load, axles: Axles) -> tuple[float, float]:
    """Return the mass on the front and rear support, not rounded to grams."""
    start, moment = 0, 0
    for line in load.lines:
        moment += 2 * line.mass_g * (start - axles.front_at_um) + line.moment
        start += line.depth
    rear = moment / (2 * (axles.rear_at_um - axles.front_at_um))
    return axles.empty_front_g + load.mass_g - rear, axles.empty_rear_g + rear


def make_plan(
    loads: Sequence[Load],
    bound_um: int,
    *,
    left_out: Sequence[LeftOut] = (),
    straps_of: StrapsOf = one_a_row,
    revision: int = 1,
) -> Plan:
    """Return the plan of all loads; proven when no shorter one can exist."""
    vehicles = tuple(make_vehicle(load, straps_of) for load in loads if load.lines)
    total = sum(one.floor_length_um for one in vehicles)
    bound = min(bound_um, total)
    return Plan(
        vehicles=vehicles,
        floor_length_um=total,
        lower_bound_um=bound,
        proven=bound == total and not left_out,
        revision=revision,
        left_out=tuple(left_out),
    )
