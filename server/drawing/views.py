"""The two views of a plan, to scale: from above, bulkhead at the top, and a row from the door."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from server.core.base.units import Units, from_um
from server.core.shop.plan import Place, Row, VehiclePlan
from server.core.shop.vehicle import Vehicle
from server.drawing.scene import Box, Line, Shape, Text

UM: Final = 1_000  # micrometres in a millimetre


def short(um: int, units: Units) -> str:
    """Return a length as people write it in these units."""
    return f"{from_um(um, units.length):.4g}"


def top_view(vehicle: Vehicle, plan: VehiclePlan, width: float, units: Units) -> list[Shape]:
    """Return the vehicle from above, `width` mm wide, rows numbered down from the bulkhead."""
    scale = width / (vehicle.width_um / UM)

    def mm(um: int) -> float:
        return um / UM * scale

    shapes: list[Shape] = [
        Box(0, 0, width, mm(vehicle.length_um), fill=None, stroke=0.6, title=vehicle.name),
        Text(width / 2, -1, "bulkhead", 2.4, "middle"),
        Text(width / 2, mm(vehicle.length_um) + 3, "door", 2.4, "middle"),
    ]
    for stretch in vehicle.narrow:
        gap = mm(vehicle.width_um - stretch.width_um) / 2
        long = mm(stretch.to_um - stretch.from_um)
        shapes += [
            Box(x, mm(stretch.from_um), gap, long, fill=0.4, title="wheel box")
            for x in (0.0, width - gap)
        ]
    for row in plan.rows:
        for place in sorted(row.places, key=lambda one: one.z):
            shapes += _from_above(place, mm)
        y = mm(row.start + row.depth)
        shapes += [
            Line(0, y, width, y, 0.3),
            Text(
                -1.5, mm(row.start + row.depth // 2) + 1.2, str(row.number), 3.4, "end", bold=True
            ),
            Text(width + 1, y, short(row.start + row.depth, units), 2.2),
        ]
    return shapes


def _from_above(place: Place, mm: Callable[[int], float]) -> list[Shape]:
    """Draw a floor case filled with its code at the top, a rider dashed with its code below."""
    inset = 0.0 if place.z == 0 else 0.6
    x, y = mm(place.x) + inset, mm(place.y) + inset
    wide, long = mm(place.dx) - 2 * inset, mm(place.dy) - 2 * inset
    size = min(2.6, max(1.4, wide / 6), max(1.4, long / 3))
    title = f"{place.code}, {words(place)}"
    code = Text(
        x + wide / 2,
        y + (size * 1.2 if place.z == 0 else long - size * 0.4),
        place.code,
        size,
        "middle",
        bold=place.z == 0,
        most=max(wide - 0.6, 0.1),
        whole=True,
    )
    fill = 1.0 if place.z == 0 else None
    return [Box(x, y, wide, long, fill, 0.25, dashed=place.z > 0, title=title), code]


def door_view(vehicle: Vehicle, row: Row, width: float, units: Units) -> list[Shape]:
    """Return one row as seen from the door, `width` mm wide, floor at the bottom."""
    scale = width / (vehicle.width_um / UM)
    high = vehicle.height_um / UM * scale

    def mm(um: int) -> float:
        return um / UM * scale

    shapes: list[Shape] = [Box(0, 0, width, high, stroke=0.4, title=f"row {row.number}")]
    for stretch in vehicle.narrow:
        if row.start < stretch.to_um and stretch.from_um < row.start + row.depth:
            gap = mm(vehicle.width_um - stretch.width_um) / 2
            up = mm(stretch.up_to_um)
            shapes += [Box(x, high - up, gap, up, fill=0.4) for x in (0.0, width - gap)]
    for place in row.places:
        top = high - mm(place.z + place.dz)
        wide, tall = mm(place.dx), mm(place.dz)
        size = min(3.0, max(1.3, wide / 6), max(1.3, tall / 2))
        code = Text(
            mm(place.x) + wide / 2,
            top + tall / 2 + size / 3,
            place.code,
            size,
            "middle",
            bold=True,
            most=max(wide - 0.6, 0.1),
            whole=True,
        )
        shapes += [
            Box(mm(place.x), top, wide, tall, 1.0, 0.3, title=f"{place.code}, {words(place)}"),
            code,
        ]
    if row.slack:
        slack = f"{short(row.slack, units)} {units.length} slack"
        shapes.append(Text(width / 2, high + 3.2, slack, 2.4, "middle"))
    return shapes


def sides(vehicle: Vehicle) -> tuple[str, str]:
    """Return the names of the walls as seen from the door: the one at x = 0 first."""
    walls = ("driver side", "kerb side")
    return walls if vehicle.driver_side == "left" else (walls[1], walls[0])


def words(place: Place) -> str:
    """Return how a case stands, in the crew's words."""
    stance = {"upright": "wheels down", "on_end": "on end", "on_side": "on side"}[place.stance]
    on = f", on {' and '.join(place.on)}" if place.on else ""
    return stance + (", turned" if place.turned else "") + on
