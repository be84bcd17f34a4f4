"""Fit: how many of each case stand across a vehicle, the slack left, what fills a row together."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from itertools import islice
from typing import Final

from server.core.shop.case import Case, Stance
from server.core.shop.vehicle import Vehicle

MOST_FILLS: Final = 12  # a person reads a dozen ways to fill a row, not a hundred
MOST_WIDTHS: Final = 14  # different widths of one depth that are combined
MOST_TRIED: Final = 20_000  # combinations of one depth; a fleet of very small boxes has millions


@dataclass(frozen=True, slots=True)
class Standing:
    """One way in which a case stands: micrometres across, along and up."""

    stance: Stance
    turned: bool
    across: int
    along: int
    up: int


@dataclass(frozen=True, slots=True)
class Way:
    """How many cases stand so across one vehicle, the slack they leave, and the rows of them.

    `high` counts equal cases on lid casters; `passes` is false where a case is too tall for the
    door or the room, and then the counts are zero.
    """

    standing: Standing
    passes: bool
    across: int
    slack: int
    rows: int
    high: int


@dataclass(frozen=True, slots=True)
class FillPart:
    """So many stacks of one width in a row, and the codes of cases that stand so."""

    across: int
    count: int
    codes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Fill:
    """Stacks of one depth that together fill a row, and the slack they leave."""

    along: int
    parts: tuple[FillPart, ...]
    slack: int


def stretches(vehicle: Vehicle) -> tuple[Vehicle, ...]:
    """Return the vehicle as it is at its full width and at each narrower stretch of floor."""
    narrow = (
        replace(
            vehicle,
            width_um=min(stretch.width_um, vehicle.width_um),
            narrow=(),
        )
        for stretch in vehicle.narrow
        if stretch.from_um < vehicle.length_um
    )
    return (vehicle, *narrow)


def standings(case: Case) -> tuple[Standing, ...]:
    """Return every different way in which the case may stand."""
    found: dict[tuple[int, int, int], Standing] = {}
    for stance in case.stances:
        for turned in (False, True) if case.turn else (False,):
            across, along, up = case.standing(stance, turned)
            found.setdefault((across, along, up), Standing(stance, turned, across, along, up))
    return tuple(found.values())


def ways(case: Case, vehicle: Vehicle) -> tuple[Way, ...]:
    """Return each standing of the case with what the vehicle takes of it."""
    return tuple(_way(case, vehicle, standing) for standing in standings(case))


def _way(case: Case, vehicle: Vehicle, standing: Standing) -> Way:
    passes = standing.up <= vehicle.passing_height_um and standing.across <= vehicle.width_um
    if not passes or standing.along > vehicle.length_um:
        return Way(standing, passes=False, across=0, slack=vehicle.width_um, rows=0, high=0)
    across = vehicle.width_um // standing.across
    return Way(
        standing=standing,
        passes=True,
        across=across,
        slack=vehicle.width_um - across * standing.across,
        rows=vehicle.length_um // standing.along,
        high=_high(case, vehicle, standing),
    )


def _high(case: Case, vehicle: Vehicle, standing: Standing) -> int:
    """Count equal cases in a stack: room above, casters on lids, load through the whole stack."""
    if not case.lid_casters or standing.stance != "upright":
        return 1
    by_room = vehicle.height_um // standing.up
    if case.mass_g == 0:
        return by_room
    return min(by_room, 1 + (case.lid_load_g or 0) // case.mass_g)


def fills(cases: Iterable[Case], vehicle: Vehicle, most: int = MOST_FILLS) -> tuple[Fill, ...]:
    """Return the ways to fill one row with stacks of one depth, least slack first.

    Only whole depths go together: a row is straight. Of every depth all combinations of the
    widths that stand so are tried in which no further stack would fit.
    """
    by_depth: dict[int, dict[int, set[str]]] = {}
    for case in cases:
        for way in ways(case, vehicle):
            if way.passes:
                widths = by_depth.setdefault(way.standing.along, {})
                widths.setdefault(way.standing.across, set()).add(case.code)
    found = [
        Fill(along, tuple(_part(widths, across, count) for across, count in combination), slack)
        for along, widths in by_depth.items()
        for combination, slack in islice(
            _full(sorted(widths, reverse=True)[:MOST_WIDTHS], vehicle), MOST_TRIED
        )
    ]
    found.sort(
        key=lambda fill: (
            fill.slack,
            len(fill.parts),
            -fill.along,
            tuple((part.across, part.count) for part in fill.parts),
        )
    )
    return tuple(found[:most]) if most else tuple(found)


def _part(widths: dict[int, set[str]], across: int, count: int) -> FillPart:
    return FillPart(across, count, tuple(sorted(widths[across])))


Combination = tuple[tuple[int, int], ...]


def _full(widths: list[int], vehicle: Vehicle) -> Iterator[tuple[Combination, int]]:
    """Yield each combination (width, count) that no further stack of these widths fits beside."""

    def extend(index: int, room: int, taken: Combination) -> Iterator[tuple[Combination, int]]:
        if index == len(widths):
            if taken and room < min(widths):
                yield taken, room
            return
        width = widths[index]
        for count in range(room // width, -1, -1):
            more = ((width, count),) if count else ()
            yield from extend(index + 1, room - count * width, taken + more)

    yield from extend(0, vehicle.width_um, ())
