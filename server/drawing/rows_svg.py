"""Every row of a plan as an SVG file: one from above for each vehicle, one from the door a row."""

from __future__ import annotations

import re
from typing import Final

from server.core.shop.plan import Plan, VehiclePlan
from server.core.shop.show import Show
from server.core.shop.vehicle import Vehicle
from server.drawing.scene import Scene, Text, shifted
from server.drawing.svg import to_svg
from server.drawing.views import UM, door_view, sides, top_view

TOP_WIDTH: Final = 60.0
DOOR_WIDTH: Final = 120.0
MARGIN: Final = 14.0


def draw_plan(show: Show, plan: Plan) -> dict[str, str]:
    """Return file name → SVG: `T1-top.svg`, `T1-row-01.svg` and so on for every vehicle."""
    drawn: dict[str, str] = {}
    for loaded in plan.vehicles:
        vehicle = show.vehicle(loaded.vehicle)
        name = re.sub(r"[^A-Za-z0-9_-]+", "-", vehicle.id).strip("-") or "vehicle"
        drawn[f"{name}-top.svg"] = to_svg(top_scene(show, vehicle, loaded))
        for row in loaded.rows:
            scene = door_scene(show, vehicle, loaded, row.number)
            drawn[f"{name}-row-{row.number:02}.svg"] = to_svg(scene)
    return drawn


def top_scene(show: Show, vehicle: Vehicle, loaded: VehiclePlan) -> Scene:
    """Return the vehicle from above with the names of its walls."""
    high = vehicle.length_um / vehicle.width_um * TOP_WIDTH
    first, second = sides(vehicle)
    title = f"{vehicle.name or vehicle.id}: {len(loaded.rows)} rows from above"
    return Scene(
        TOP_WIDTH + 2 * MARGIN,
        high + 2 * MARGIN,
        (
            *shifted(top_view(vehicle, loaded, TOP_WIDTH, show.units), MARGIN, MARGIN),
            Text(MARGIN, 6, first, 2.8),
            Text(MARGIN + TOP_WIDTH, 6, second, 2.8, "end"),
        ),
        title,
    )


def door_scene(show: Show, vehicle: Vehicle, loaded: VehiclePlan, number: int) -> Scene:
    """Return one row as seen from the door."""
    row = next(each for each in loaded.rows if each.number == number)
    high = vehicle.height_um / UM * DOOR_WIDTH / (vehicle.width_um / UM)
    first, second = sides(vehicle)
    title = f"{vehicle.name or vehicle.id}, row {number} as seen from the door"
    return Scene(
        DOOR_WIDTH + 2 * MARGIN,
        high + 2 * MARGIN,
        (
            *shifted(door_view(vehicle, row, DOOR_WIDTH, show.units), MARGIN, MARGIN),
            Text(MARGIN, 10, f"Row {number}", 6, bold=True),
            Text(MARGIN, high + MARGIN + 3.2, first, 2.8),
            Text(MARGIN + DOOR_WIDTH, high + MARGIN + 3.2, second, 2.8, "end"),
        ),
        title,
    )
