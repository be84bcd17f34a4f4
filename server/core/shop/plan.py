"""Plan: where every case stands, row by row, in every vehicle of a show."""

from __future__ import annotations

from dataclasses import dataclass

from server.core.shop.case import Stance


@dataclass(frozen=True, slots=True)
class Place:
    """Where one case stands: x from the left wall seen from the door, y from the bulkhead.

    z up from the floor; dx across, dy along, dz up; micrometres. `on` names the cases whose lids
    carry it, empty for the floor; two names where it bridges neighbours.
    """

    code: str
    x: int
    y: int
    z: int
    dx: int
    dy: int
    dz: int
    stance: Stance = "upright"
    turned: bool = False
    on: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Row:
    """Stacks side by side against one straight line; `start` behind the bulkhead, micrometres."""

    number: int
    start: int
    depth: int
    slack: int
    straps: int
    places: tuple[Place, ...]


@dataclass(frozen=True, slots=True)
class VehiclePlan:
    """The rows of one vehicle, its floor length and its masses with the load on."""

    vehicle: str
    rows: tuple[Row, ...]
    floor_length_um: int
    mass_g: int
    front_g: int | None = None
    rear_g: int | None = None

    def places(self) -> tuple[Place, ...]:
        """Return every place of the vehicle in row order."""
        return tuple(place for row in self.rows for place in row.places)


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A case that no vehicle takes, and which rule stops it."""

    code: str
    reason: str


@dataclass(frozen=True, slots=True)
class Plan:
    """Rows for every vehicle; `lower_bound_um` no plan can undercut; `proven`: none is shorter."""

    vehicles: tuple[VehiclePlan, ...]
    floor_length_um: int
    lower_bound_um: int
    proven: bool
    seconds: float = 0.0
    revision: int = 1
    left_out: tuple[LeftOut, ...] = ()
