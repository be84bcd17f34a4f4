"""What the judge looks at: one vehicle of a plan beside the show it answers."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

from server.core.case import Case
from server.core.plan import Place, Row, VehiclePlan
from server.core.show import Show
from server.core.vehicle import Vehicle

# A plan file carries six decimals of its unit; sides that are no whole micrometre are cut. Two
# micrometres are what that can blur, and nobody can load a truck to two micrometres.
BLUR_UM = 2


@dataclass(frozen=True)
class Scene:
    """One vehicle plan with the cases that it places; unknown codes are left to `once`."""

    show: Show
    vehicle: Vehicle
    plan: VehiclePlan
    cases: Mapping[str, Case]

    @cached_property
    def places(self) -> tuple[Place, ...]:
        """Every place whose case belongs to the show."""
        return tuple(place for place in self.plan.places() if place.code in self.cases)

    @cached_property
    def by_code(self) -> dict[str, Place]:
        """The place of each code."""
        return {place.code: place for place in self.places}

    @cached_property
    def row_of(self) -> dict[str, int]:
        """The position (not the printed number) of the row of each code, from 0."""
        return {
            place.code: index for index, row in enumerate(self.plan.rows) for place in row.places
        }

    @cached_property
    def mass_g(self) -> int:
        """Mass of everything that is placed, summed from the show."""
        return sum(self.cases[place.code].mass_g for place in self.places)

    def carriers(self, upper: Place) -> list[Place]:
        """Return the places whose tops touch the underside of `upper`."""
        return [
            lower for lower in self.places if shared_um2(lower, upper) and touches(lower, upper)
        ]

    def known(self, row: Row) -> Iterator[Place]:
        """Yield the places of a row whose cases belong to the show."""
        return (place for place in row.places if place.code in self.cases)


def touches(lower: Place, upper: Place) -> bool:
    """Return whether the top of `lower` is the height at which `upper` stands."""
    return lower.code != upper.code and abs(lower.z + lower.dz - upper.z) <= BLUR_UM


def shared_um2(one: Place, other: Place) -> int:
    """Return the floor area (square micrometres) over which two places overlap; blur is none."""
    across = min(one.x + one.dx, other.x + other.dx) - max(one.x, other.x)
    along = min(one.y + one.dy, other.y + other.dy) - max(one.y, other.y)
    return across * along if across > BLUR_UM and along > BLUR_UM else 0
