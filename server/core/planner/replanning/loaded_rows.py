"""Rows that stand loaded: kept to the micrometre, but for cases that are no longer called."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace

from server.core.judge import judge
from server.core.planner.problem.plan_writer import StrapsOf
from server.core.securing.slack import row_slack_um
from server.core.shop.plan import Plan, Row, VehiclePlan
from server.core.shop.show import Show
from server.core.shop.vehicle import Vehicle

Loaded = Mapping[str, Collection[int]]  # vehicle → numbers of its rows

# Faults of the room itself: a row that has one cannot stand in this vehicle at all.
OF_THE_ROOM = ("reaches beyond", "narrow stretch", "too high for the door")


@dataclass(frozen=True)
class Standing:
    """The loaded rows that can stay, and in words those that cannot."""

    rows: Loaded
    notes: tuple[str, ...]


def numbers(loaded: Mapping[str, int | Collection[int]]) -> Loaded:
    """Return the numbers of loaded rows; a count means that many rows from the bulkhead."""
    return {
        vehicle: range(1, some + 1) if isinstance(some, int) else sorted(set(some))
        for vehicle, some in loaded.items()
    }


def leading(rows: Collection[int]) -> int:
    """Return how many rows from the bulkhead stand loaded without a gap."""
    count = 0
    while count + 1 in rows:
        count += 1
    return count


def reduced(row: Row, codes: Collection[str]) -> Row:
    """Return a row without the cases that are not called, and without what stood on those."""
    places = [place for place in row.places if place.code in codes]
    while True:
        there = {place.code for place in places}
        borne = [place for place in places if there.issuperset(place.on)]
        if len(borne) == len(places):
            break
        places = borne
    depth = max((place.dy for place in places if not place.on), default=0)
    return replace(row, places=tuple(places), depth=depth)


def moved_to(row: Row, vehicle: Vehicle, number: int, start: int) -> Row:
    """Return the same row as number `number` from `start` on; nothing moves across."""
    places = tuple(replace(one, y=one.y + start - row.start) for one in row.places)
    slack = row_slack_um(vehicle, start, row.depth, places)
    return replace(row, number=number, start=start, slack=slack, places=places)


def that_can_stay(show: Show, before: Plan, loaded: Loaded) -> Standing:
    """Return the loaded rows without those of vehicles that are gone or too small for them."""
    codes = {case.code for case in show.cases}
    kept: dict[str, Collection[int]] = {}
    notes = []
    for one in before.vehicles:
        rows = [row for row in one.rows if row.number in loaded.get(one.vehicle, ())]
        if not rows:
            continue
        if not any(vehicle.id == one.vehicle for vehicle in show.vehicles):
            notes.append(f"{one.vehicle} is not booked any more: what is loaded in it comes off")
        elif faults := _room_faults(show, one, [reduced(row, codes) for row in rows]):
            notes.append(f"what is loaded in {one.vehicle} comes off: {faults[0]}")
        else:
            kept[one.vehicle] = [row.number for row in rows]
    return Standing(kept, tuple(notes))


def _room_faults(show: Show, plan: VehiclePlan, rows: Collection[Row]) -> list[str]:
    return [
        fault
        for fault in judge(show, Plan((replace(plan, rows=tuple(rows)),), 0, 0, proven=False))
        if any(words in fault for words in OF_THE_ROOM)
    ]


def own_faults(show: Show, before: Plan, loaded: Loaded) -> frozenset[str]:
    """Return what the judge faults in the loaded rows alone; no plan of the rest mends that.

    Masses are left to the whole plan: half a load may break limits that the whole one keeps.
    """
    codes = {case.code for case in show.cases}
    plans = []
    for one in before.vehicles:
        if loaded.get(one.vehicle):
            rows = [reduced(row, codes) for row in one.rows if row.number in loaded[one.vehicle]]
            plans.append(replace(one, rows=tuple(rows)))
    light = tuple(replace(one, payload_g=None, axles=None) for one in show.vehicles)
    there = {place.code for one in plans for place in one.places()}
    part = replace(
        show, vehicles=light, cases=tuple(case for case in show.cases if case.code in there)
    )
    return frozenset(judge(part, Plan(tuple(plans), 0, 0, proven=False)))


def strapped(show: Show, plan: Plan, straps_of: StrapsOf) -> Plan:
    """Return the plan with the straps that its rows need."""
    return replace(
        plan,
        vehicles=tuple(
            replace(
                one,
                rows=tuple(
                    replace(row, straps=count)
                    for row, count in zip(
                        one.rows, straps_of(show.vehicle(one.vehicle), one.rows), strict=True
                    )
                ),
            )
            for one in plan.vehicles
        ),
    )
