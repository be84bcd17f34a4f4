"""Straps of each row, asked of the securing rules of the show."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from server.core.planner.problem.plan_writer import StrapsOf
from server.core.securing.rows import straps_for_vehicle
from server.core.shop.plan import Row, VehiclePlan
from server.core.shop.show import Show
from server.core.shop.vehicle import Vehicle


def straps_for(show: Show) -> StrapsOf:
    """Return what counts the straps of a vehicle's rows, a line behind every row."""

    def count(vehicle: Vehicle, rows: Sequence[Row]) -> Sequence[int]:
        lined = tuple(replace(row, straps=1) for row in rows)
        length = sum(row.depth for row in rows)
        hold = straps_for_vehicle(show, vehicle, VehiclePlan(vehicle.id, lined, length, 0))
        return [row.needed for row in hold.rows]

    return count
