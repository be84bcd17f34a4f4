"""Balance: centre of gravity and what each support of a vehicle carries, by moments.

All sums are whole grams and micrometres, so the two supports add up to the load to the gram.
Positions are micrometres behind the bulkhead (y), from the left wall (x) and up from the floor (z).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from server.core.shop.plan import Place
from server.core.shop.vehicle import Axles, Vehicle

MOMENTS_SOURCE: Final = "moments about the supports (mechanics)"


@dataclass(frozen=True, slots=True)
class Load:
    """One mass and where its centre is; a case counts with its centre in the middle of its box."""

    mass_g: int
    y_um: Fraction | int
    x_um: Fraction | int = 0
    z_um: Fraction | int = 0


def two_supports(
    loads: Iterable[Load], front_at_um: int, rear_at_um: int
) -> tuple[Fraction, Fraction]:
    """Return what front and rear support carry, in exact grams; a share below zero lifts it."""
    total, moment = 0, Fraction(0)
    for load in loads:
        total += load.mass_g
        moment += load.mass_g * (Fraction(load.y_um) - front_at_um)
    rear = moment / (rear_at_um - front_at_um)
    return total - rear, rear


def whole_grams(front: Fraction, rear: Fraction) -> tuple[int, int]:
    """Round two shares to the gram so that their sum stays what it was."""
    rear_g = round(rear)
    return round(front + rear) - rear_g, rear_g


def centre_um(loads: Iterable[Load]) -> tuple[int, int, int] | None:
    """Return the centre of gravity (x, y, z) in micrometres; None without mass."""
    mass, x, y, z = 0, Fraction(0), Fraction(0), Fraction(0)
    for load in loads:
        mass += load.mass_g
        x += load.mass_g * Fraction(load.x_um)
        y += load.mass_g * Fraction(load.y_um)
        z += load.mass_g * Fraction(load.z_um)
    if not mass:
        return None
    return round(x / mass), round(y / mass), round(z / mass)


@dataclass(frozen=True, slots=True)
class Balance:
    """What a vehicle carries and how: grams and micrometres; None where it is not known.

    `front_g` and `rear_g` include the empty vehicle. `left_g` and `right_g` are the mass on each
    side of the middle of the floor, seen from the door; `front_share` is the front support's
    share of the gross mass (the tongue's share on a ball).
    """

    load_g: int
    left_g: int
    right_g: int
    centre_um: tuple[int, int, int] | None
    front_g: int | None = None
    rear_g: int | None = None
    gross_g: int | None = None
    front_share: float | None = None

    @property
    def side_difference(self) -> float:
        """Return the difference of the sides as a share of the load."""
        return abs(self.left_g - self.right_g) / self.load_g if self.load_g else 0.0


def loads_of(places: Iterable[Place], masses_g: dict[str, int]) -> tuple[Load, ...]:
    """Return each placed case as a mass in the middle of its box."""
    return tuple(
        Load(
            masses_g[place.code],
            Fraction(2 * place.y + place.dy, 2),
            Fraction(2 * place.x + place.dx, 2),
            Fraction(2 * place.z + place.dz, 2),
        )
        for place in places
    )


def side_masses(
    places: Iterable[Place], masses_g: dict[str, int], width_um: int
) -> tuple[int, int]:
    """Return grams left and right of the middle, seen from the door; a case across it is split."""
    total, left = 0, Fraction(0)
    for place in places:
        mass = masses_g[place.code]
        reach = min(max(Fraction(width_um, 2) - place.x, Fraction(0)), Fraction(place.dx))
        total += mass
        left += mass * reach / place.dx
    left_g = round(left)
    return left_g, total - left_g


def axle_loads(loads: Iterable[Load], axles: Axles) -> tuple[int, int]:
    """Return front and rear support in grams with the empty vehicle."""
    front, rear = whole_grams(*two_supports(loads, axles.front_at_um, axles.rear_at_um))
    return front + axles.empty_front_g, rear + axles.empty_rear_g


def weigh(vehicle: Vehicle, places: Iterable[Place], masses_g: dict[str, int]) -> Balance:
    """Return the balance of a vehicle with these cases on board, planned or scanned."""
    places = tuple(places)
    loads = loads_of(places, masses_g)
    total = sum(load.mass_g for load in loads)
    left, right = side_masses(places, masses_g, vehicle.width_um)
    if vehicle.axles is None:
        return Balance(total, left, right, centre_um(loads))
    front, rear = axle_loads(loads, vehicle.axles)
    gross = front + rear
    share = front / gross if gross else None
    return Balance(total, left, right, centre_um(loads), front, rear, gross, share)
