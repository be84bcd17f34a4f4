"""What the judge looks at: one vehicle of a plan beside the show it answers."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

from server.core.shop.case import Case
from server.core.shop.plan import Place, Row, VehiclePlan
from server.core.shop.show import Show
from server.core.shop.vehicle import Vehicle

# A plan file carries six decimals of its unit; sides that are no whole micrometre are cut. Two
# micrometres are what that can blur, and nobody can load a truck to two micrometres.
BLUR_UM = 2
_STEP_UM = 16


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
        if upper.code not in self._carriers:
            self._carriers[upper.code] = list(self._find_carriers(upper))
        return self._carriers[upper.code]

    @cached_property
    def _carriers(self) -> dict[str, list[Place]]:
        return {}

    @cached_property
    def _by_top(self) -> dict[int, list[Place]]:
        """Places by the height of their tops, in steps wider than the blur, from the bulkhead."""
        found: dict[int, list[Place]] = {}
        for place in sorted(self.places, key=lambda one: one.y):
            found.setdefault((place.z + place.dz) // _STEP_UM, []).append(place)
        return found

    @cached_property
    def _deepest(self) -> int:
        return max((place.dy for place in self.places), default=0)

    def _find_carriers(self, upper: Place) -> Iterator[Place]:
        middle = upper.z // _STEP_UM
        for step in (middle - 1, middle, middle + 1):
            level = self._by_top.get(step, [])
            first = bisect_left(level, upper.y - self._deepest, key=lambda one: one.y)
            for lower in level[first:]:
                if lower.y >= upper.y + upper.dy:
                    break
                if touches(lower, upper) and shared_um2(lower, upper):
                    yield lower

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
