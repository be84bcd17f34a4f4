"""Footprints worth a look for new cases: what must fit inside, and sides that rows are made of."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final

from server.core.advisor.floor import kinds_of
from server.core.advisor.questions import Footprint, Need
from server.core.shop.case import Case
from server.core.shop.fit import ways
from server.core.shop.vehicle import Vehicle

FRACTIONS: Final = (2, 3, 4, 5, 6)  # halves to sixths of a width (common practice, no source)
ROOMIEST: Final = 3.0  # times the least floor area: larger would hold something else
MOST: Final = 120

"""Outer sides, the longer first; micrometres."""


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
