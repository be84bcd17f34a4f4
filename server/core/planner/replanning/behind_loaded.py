"""The search behind loaded rows: they stay, the rest is planned into the room behind them.

A vehicle with rows that stay is the same as a shorter vehicle with less payload, whose empty
supports already carry those rows.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import replace

from server.core.planner.replanning.loaded_rows import Loaded, leading, moved_to, reduced
from server.core.shop.case import Case
from server.core.shop.plan import LeftOut, Plan, Row, VehiclePlan
from server.core.shop.show import Show
from server.core.shop.vehicle import Axles, Narrow, Vehicle
from server.core.weight.balance import weigh

PlanRest = Callable[[Show], Plan]
NO_ROOM = "no room behind the loaded rows"


def plan_behind(
    show: Show, before: Plan, loaded: Loaded, codes: Collection[str], plan_rest: PlanRest
) -> Plan:
    """Return a plan whose leading loaded rows are those of `before`, the rest as `plan_rest` does.

    `codes` are the cases that are still called.
    """
    kept = {
        one.vehicle: _leading_rows(show, one, leading(loaded.get(one.vehicle, ())), codes)
        for one in before.vehicles
        if loaded.get(one.vehicle)
    }
    staying = {place.code for rows in kept.values() for row in rows for place in row.places}
    cases = tuple(case for case in show.cases if case.code not in staying)
    shorter = [_behind(show, vehicle, kept.get(vehicle.id, ())) for vehicle in show.vehicles]
    rooms = tuple(one for one in shorter if one is not None)
    ids = {one.id for one in rooms}
    lowest = _lowest_drops(show, kept)
    rest_cases = tuple(_placeable(case, kept, lowest, rooms) for case in cases)
    rest = plan_rest(replace(show, vehicles=rooms, cases=rest_cases)) if ids and cases else None
    planned = {one.vehicle: one for one in rest.vehicles} if rest else {}
    vehicles = tuple(
        joined
        for vehicle in show.vehicles
        if (joined := _joined(show, vehicle, kept.get(vehicle.id, ()), planned.get(vehicle.id)))
    )
    total = sum(one.floor_length_um for one in vehicles)
    left = rest.left_out if rest else tuple(LeftOut(one.code, NO_ROOM) for one in cases)
    return Plan(vehicles, total, 0, proven=False, left_out=left)


def _leading_rows(
    show: Show, plan: VehiclePlan, count: int, codes: Collection[str]
) -> tuple[Row, ...]:
    """Return the first rows of a vehicle without what is not called, closed up along the floor."""
    vehicle, start = show.vehicle(plan.vehicle), 0
    rows: list[Row] = []
    for row in plan.rows[:count]:
        now = reduced(row, codes)
        if now.places:
            rows.append(moved_to(now, vehicle, len(rows) + 1, start))
            start += now.depth
    return tuple(rows)


def _lowest_drops(show: Show, kept: Mapping[str, tuple[Row, ...]]) -> dict[str, int]:
    """Return the earliest drop among the rows that stay in each vehicle."""
    drops = {case.code: case.drop for case in show.cases}
    return {
        vehicle: min(drops[place.code] for row in rows for place in row.places)
        for vehicle, rows in kept.items()
        if rows
    }


def _placeable(
    case: Case,
    kept: Mapping[str, tuple[Row, ...]],
    lowest: Mapping[str, int],
    rooms: tuple[Vehicle, ...],
) -> Case:
    """Return a case with the wishes that the rows ahead still leave it.

    A later drop may not stand behind an earlier one: where only one vehicle is open, it goes there.
    """
    near = None if case.near == "bulkhead" and any(kept.values()) else case.near
    open_ = [one.id for one in rooms if case.drop <= lowest.get(one.id, case.drop)]
    wish = open_[0] if case.vehicle is None and len(open_) == 1 else case.vehicle
    return replace(case, near=near, vehicle=wish)


def _behind(show: Show, vehicle: Vehicle, rows: tuple[Row, ...]) -> Vehicle | None:
    """Return the room behind the rows that stay; None when nothing of it is left."""
    if not rows:
        return vehicle
    end = max(row.start + row.depth for row in rows)
    if end >= vehicle.length_um:
        return None
    masses = {case.code: case.mass_g for case in show.cases}
    places = [place for row in rows for place in row.places]
    balance = weigh(vehicle, places, masses)
    narrow = tuple(
        Narrow(max(0, one.from_um - end), one.to_um - end, one.width_um, one.up_to_um)
        for one in vehicle.narrow
        if one.to_um > end
    )
    payload = vehicle.payload_g
    return replace(
        vehicle,
        length_um=vehicle.length_um - end,
        payload_g=None if payload is None else max(0, payload - balance.load_g),
        narrow=narrow,
        axles=None if vehicle.axles is None else _carrying(vehicle.axles, end, balance.front_g,
                                                           balance.rear_g),
    )  # fmt: skip


def _carrying(axles: Axles, end: int, front: int | None, rear: int | None) -> Axles:
    assert front is not None
    assert rear is not None
    return replace(
        axles,
        front_at_um=axles.front_at_um - end,
        rear_at_um=axles.rear_at_um - end,
        empty_front_g=front,
        empty_rear_g=rear,
    )


def _joined(
    show: Show, vehicle: Vehicle, rows: tuple[Row, ...], behind: VehiclePlan | None
) -> VehiclePlan | None:
    end = max((row.start + row.depth for row in rows), default=0)
    more = () if behind is None else behind.rows
    every = [
        *rows,
        *(moved_to(row, vehicle, row.number + len(rows), row.start + end) for row in more),
    ]
    if not every:
        return None
    masses = {case.code: case.mass_g for case in show.cases}
    balance = weigh(vehicle, [place for row in every for place in row.places], masses)
    return VehiclePlan(
        vehicle.id,
        tuple(every),
        every[-1].start + every[-1].depth,
        balance.load_g,
        balance.front_g,
        balance.rear_g,
    )
