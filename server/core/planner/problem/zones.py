"""A floor with one narrow stretch as zones of one width each: ahead of it, beside it, behind it.

A row belongs to the narrow zone if it touches the stretch at all. So the rows ahead end where the
stretch begins or before, and rows ahead and beside together reach its end before others follow.
"""

from __future__ import annotations

from dataclasses import dataclass, fields

from server.core.shop.vehicle import Vehicle


@dataclass(frozen=True, slots=True)
class Zone(Vehicle):
    """One part of a vehicle's floor, taken for a vehicle of its own.

    `ahead_um`: if this zone is used, it and the zones ahead are at least so long together.
    `drops`: the first and the last drop of its rows.
    """

    ahead_um: int = 0
    drops: tuple[int, int] = (0, 1_000_000)


def zones_of(vehicle: Vehicle, borders: tuple[int, int] | None = None) -> tuple[Zone, ...]:
    """Return the zones of a vehicle with one narrow stretch, from the bulkhead.

    `borders`: the drops that stand where the stretch begins and where it ends.
    """
    (narrow,) = vehicle.narrow
    first, last = borders or (0, 1_000_000)
    last_drop = 1_000_000
    given = {one.name: getattr(vehicle, one.name) for one in fields(vehicle)}
    given |= {"narrow": (), "axles": None}
    from_um, to_um = narrow.from_um, min(narrow.to_um, vehicle.length_um)
    beside = min(narrow.width_um, vehicle.width_um)
    found = []
    if 0 < from_um < vehicle.length_um:
        ahead = (first, last_drop) if borders else (0, last_drop)
        found.append(Zone(**{**given, "length_um": from_um}, drops=ahead))
    middle = {**given, "width_um": beside}
    between = (last, first) if borders else (0, last_drop)
    found.append(Zone(**middle, ahead_um=to_um, drops=between))
    if to_um < vehicle.length_um:
        behind = (0, last) if borders else (0, last_drop)
        found.append(Zone(**{**given, "length_um": vehicle.length_um - to_um}, drops=behind))
    return tuple(found)
