"""Footprints worth a look for new cases: what must fit inside, and sides that rows are made of."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

from server.core.advisor.floor import kinds_of
from server.core.shop.case import Case
from server.core.shop.fit import ways
from server.core.shop.vehicle import Vehicle

FRACTIONS: Final = (2, 3, 4, 5, 6)  # halves to sixths of a width (common practice, no source)
WALL: Final = 12_700  # 1/2 in of wall and lining on each side, until measured (common practice)
ROOMIEST: Final = 3.0  # times the least floor area: larger would hold something else
MOST: Final = 120

Footprint = tuple[int, int]
"""Outer sides, the longer first; micrometres."""


@dataclass(frozen=True, slots=True)
class Need:
    """So many new cases, and what each must hold.

    `inside_um`: least inside length, width and height, the first two either way round unless
    `deep_first`; `volume_um3`: least inside volume. `front_um` and `behind_um` are room for cable
    and doors before and behind a rack, `panel_um` for a connection panel: all along its length.
    `height_um` is the outer height with casters, `under_um` what casters and base take of it.
    """

    count: int
    height_um: int
    name: str = ""
    inside_um: tuple[int, int, int] = (1, 1, 1)
    volume_um3: int = 0
    wall_um: int = WALL
    front_um: int = 0
    behind_um: int = 0
    panel_um: int = 0
    under_um: int = 0
    mass_g: int = 0
    turn: bool = True

    def __post_init__(self) -> None:
        """Refuse what no case can be."""
        if self.count < 1:
            raise ValueError(f"need {self.name}: expected a count of 1 or more, got {self.count}")
        lengths = (self.front_um, self.behind_um, self.panel_um, self.under_um, self.wall_um)
        if min(self.inside_um) < 1 or min(*lengths, self.volume_um3, self.mass_g) < 0:
            raise ValueError(
                f"need {self.name}: expected sides above zero and room of zero or more"
            )
        if self.high_um < self.inside_um[2]:
            raise ValueError(
                f"need {self.name}: expected a height of at least the inside height, the walls and "
                "what is under the case"
            )

    @property
    def high_um(self) -> int:
        """Height inside."""
        return self.height_um - self.under_um - 2 * self.wall_um

    @property
    def least(self) -> tuple[int, int]:
        """Least outer length and width by the inside sides."""
        more = self.front_um + self.behind_um + self.panel_um + 2 * self.wall_um
        return self.inside_um[0] + more, self.inside_um[1] + 2 * self.wall_um

    def inside(self, footprint: Footprint) -> int:
        """Return the volume inside one footprint, less cable and panel room; 0: it does not hold.

        Of both ways round the roomier one counts.
        """
        least_long, least_wide = self.least
        best = 0
        for long, wide in (footprint, footprint[::-1]):
            if long >= least_long and wide >= least_wide:
                room = long - 2 * self.wall_um - self.front_um - self.behind_um - self.panel_um
                best = max(best, room * (wide - 2 * self.wall_um) * self.high_um)
        return best if best >= self.volume_um3 else 0

    def wide_enough(self, side: int) -> int:
        """Return the least other side with which `side` holds what must fit in; 0: none does."""
        found = []
        more = self.front_um + self.behind_um + self.panel_um
        for first, second, along, across in (
            (self.least[0], self.least[1], more, 0),
            (self.least[1], self.least[0], 0, more),
        ):
            if side < first:
                continue
            area = -(-self.volume_um3 // max(1, self.high_um))
            room = side - 2 * self.wall_um - along
            if room <= 0:
                continue
            found.append(max(second, -(-area // room) + 2 * self.wall_um + across))
        return min(found, default=0)


def candidates(
    needs: Sequence[Need], owned: Iterable[Case], vehicles: Sequence[Vehicle]
) -> tuple[Footprint, ...]:
    """Return footprints for new cases: fractions of widths, sides of the fleet, what fills rows.

    Beside each such side stands the least other side that holds what must fit in. Those under the
    least or over three times the least floor area of the smallest need are left out.
    """
    sides = _sides(needs, owned, vehicles)
    tight = {_ordered(*need.least) for need in needs}
    tight |= {
        _ordered(side, other)
        for need in needs
        for side in sides
        if (other := need.wide_enough(side))
    }
    found = {_ordered(one, other) for one in sides for other in sides} | tight
    held = [one for one in found if any(need.inside(one) for need in needs)]
    if not held:
        return ()
    largest = max(min((a * b for a, b in held if need.inside((a, b))), default=0) for need in needs)
    near = [one for one in held if one[0] * one[1] <= ROOMIEST * largest]
    fits = [one for one in near if any(_enters(one, vehicle) for vehicle in vehicles)]
    least = set(smallest(fits, needs))
    ranked = sorted(fits, key=lambda one: (one not in least, one[0] * one[1], one))
    return tuple(ranked[:MOST])


def _sides(needs: Sequence[Need], owned: Iterable[Case], vehicles: Sequence[Vehicle]) -> set[int]:
    sides = {vehicle.width_um // part for vehicle in vehicles for part in FRACTIONS}
    sides |= {side for need in needs for side in need.least}
    for case, _ in kinds_of(owned):
        sides |= {case.length_um, case.width_um}
        for vehicle in vehicles:
            for way in ways(case, vehicle):
                if not way.passes:
                    continue
                rests = (
                    vehicle.width_um - count * way.standing.across
                    for count in range(1, way.across + 1)
                )
                sides |= {rest // part for rest in rests if rest > 0 for part in (1, 2)}
    least = min(min(need.least) for need in needs)
    return {side for side in sides if side >= least}


def _enters(footprint: Footprint, vehicle: Vehicle) -> bool:
    return footprint[1] <= vehicle.width_um and footprint[0] <= max(
        vehicle.length_um, vehicle.width_um
    )


def _ordered(one: int, other: int) -> Footprint:
    return max(one, other), min(one, other)


def smallest(footprints: Iterable[Footprint], needs: Sequence[Need]) -> tuple[Footprint, ...]:
    """Return the footprints that no other undercuts while it holds the same needs.

    A case in a smaller footprint stands wherever the larger one stood: the larger one never takes
    less floor.
    """
    every = list(footprints)
    holds = {one: frozenset(i for i, need in enumerate(needs) if need.inside(one)) for one in every}
    return tuple(
        one
        for one in every
        if not any(
            other != one
            and other[0] <= one[0]
            and other[1] <= one[1]
            and holds[one] <= holds[other]
            for other in every
        )
    )
