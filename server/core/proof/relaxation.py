"""What every lawful plan of a show keeps, as few and simple as can be: the model of a certificate.

Rows are cases side by side no wider than the widest vehicle; a row holds one drop, or two
neighbouring drops, the latter once a pair and vehicle. A case that may stand on a lid may leave the
floor, if lids have the area and the strength for all that does: each such case covers lids by its
own footprint and presses on them with its own mass. Lids of its own drop serve it, and lids of the
next drop that stand in the row shared with it. Heights of stacks, places across, axles and wishes
are left out, so no plan is shorter than what this model allows.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

from server.core.shop.case import Case
from server.core.shop.show import Show
from server.core.shop.vehicle import Vehicle

UM2_PER_MM2 = 1_000_000
BLUR_UM = 8  # more than any judge overlooks: a plan may be that much wider or higher


@dataclass(frozen=True, slots=True)
class Item:
    """One case: its ways to stand (across, along), what it takes of lids and what its own offers.

    `area` in square millimetres, rounded down; `mass` in grams; `optional`: it may leave the floor.
    `lid_area` and `lid_mass` are rounded up; zero where nothing may stand on it.
    """

    code: str
    drop: int
    ways: tuple[tuple[int, int], ...]
    optional: bool
    area: int
    mass: int
    lid_area: int = 0
    lid_mass: int = 0

    def width_at(self, depth: int) -> int | None:
        """Return the least width it takes in a row of this depth, None where it is too deep."""
        return min((wide for wide, deep in self.ways if deep <= depth), default=None)


class Relaxation:
    """The items of a show, the rows they may stand in, and what lids offer together."""

    def __init__(self, show: Show) -> None:
        self.show = show
        self.width = max(one.width_um for one in show.vehicles) + BLUR_UM
        self.longest = max(one.length_um for one in show.vehicles)
        self.height = max(one.height_um for one in show.vehicles)
        self._flat = {case.code: tuple(self._ways(case)) for case in show.cases}

    def rooms(self, case: Case) -> list[Vehicle]:
        """Return the vehicles in which a case is wished."""
        return [one for one in self.show.vehicles if case.vehicle in (None, one.id)]

    def _ways(self, case: Case) -> Iterator[tuple[int, int, int]]:
        for stance in case.stances:
            for turned in (False, True) if case.turn else (False,):
                across, along, up = case.standing(stance, turned)
                if any(
                    up <= room.passing_height_um + BLUR_UM
                    and across <= room.width_um + BLUR_UM
                    and along <= room.length_um + BLUR_UM
                    for room in self.rooms(case)
                ):
                    yield across, along, up

    def misfits(self) -> list[str]:
        """Return the codes of cases that stand in no vehicle in any way."""
        return [code for code, ways in self._flat.items() if not ways]

    @cached_property
    def items(self) -> tuple[Item, ...]:
        """Every case that fits some vehicle."""
        return tuple(self._item(case) for case in self.show.cases if self._flat[case.code])

    def _item(self, case: Case) -> Item:
        ways = self._flat[case.code]
        kept: list[tuple[int, int]] = []
        for wide, deep in sorted({(across, along) for across, along, _ in ways}):
            if not kept or deep < kept[-1][1]:
                kept.append((wide, deep))
        optional = any(self._may_stand(case, lower) for lower in self.show.cases)
        area = min(across * along for across, along, _ in ways) // UM2_PER_MM2
        offers = any(self._may_stand(upper, case) for upper in self.show.cases)
        lid = -(-case.length_um * case.width_um // UM2_PER_MM2) if offers else 0
        slop = (len(self.show.cases) + 1) // 2 + 2  # half a gram a case for rounding
        bears = (case.lid_load_g or 0) + slop if offers else 0
        return Item(case.code, case.drop, tuple(kept), optional, area, case.mass_g, lid, bears)

    def _may_stand(self, upper: Case, lower: Case) -> bool:
        """Return whether a case may stand on the lid of another, as far as this model goes."""
        limit = lower.lid_load_g
        if upper.code == lower.code or upper.drop > lower.drop or upper.code in lower.never_under:
            return False
        if "upright" not in lower.stances:
            return False
        low = min((up for _, _, up in self._flat[upper.code]), default=self.height)
        if lower.height_um + low > self.height + BLUR_UM:
            return False
        if lower.lid_casters and limit is None:
            return upper.mass_g == 0
        return limit is not None and (self._rides(upper, lower, low) or self._rolls(upper, lower))

    def _rides(self, upper: Case, lower: Case, low: int) -> bool:
        rules = self.show.rules
        light = rules.rider_mass_g is None or upper.mass_g <= rules.rider_mass_g + 2
        reached = rules.lift_top_um is None or lower.height_um + low <= rules.lift_top_um + BLUR_UM
        return upper.rides and light and reached

    def _rolls(self, upper: Case, lower: Case) -> bool:
        """Return whether casters may stand on the lid; a case on end or side may fit it too."""
        if not lower.lid_casters or upper.mass_g > (lower.lid_load_g or 0) + 2:
            return False
        lid = {(lower.length_um, lower.width_um), (lower.width_um, lower.length_um)}
        return any((across, along) in lid for across, along, _ in self._flat[upper.code])

    @cached_property
    def drops(self) -> list[int]:
        """Every drop, the earliest first."""
        return sorted({item.drop for item in self.items})

    @cached_property
    def pools(self) -> list[tuple[int, ...]]:
        """The drops that a row may hold: one, or two neighbours."""
        pure: list[tuple[int, ...]] = [(drop,) for drop in self.drops]
        return pure + [(drop, drop + 1) for drop in self.drops if drop + 1 in self.drops]

    @cached_property
    def depths(self) -> list[int]:
        """Every depth that a row can have."""
        return sorted({deep for item in self.items for _, deep in item.ways})

    def in_pool(self, pool: tuple[int, ...]) -> list[Item]:
        """Return the items that may stand in a row of these drops."""
        return [item for item in self.items if item.drop in pool]


def next_sum(depths: list[int], least: int, most: int) -> int | None:
    """Return the smallest sum of depths from `least` up to below `most`, or None."""
    sums = {0}
    grown = {0}
    while grown:
        grown = {one + depth for one in grown for depth in depths if one + depth < most} - sums
        sums |= grown
        if len(sums) > 200_000:
            return least  # too many to list: no help from them
    return min((one for one in sums if least <= one < most), default=None)


def best_fill(widths: Mapping[int, list[int]], room: int) -> int:
    """Return the greatest value of cases side by side: `widths` gives the values of each width.

    A list of undominated (width, value) pairs, in whole numbers throughout.
    """
    states = [(0, 0)]
    for width, values in widths.items():
        for value in sorted(values, reverse=True)[: room // width]:
            more = [(used + width, worth + value) for used, worth in states if used + width <= room]
            states = _undominated(states + more)
    return states[-1][1]


def _undominated(states: list[tuple[int, int]]) -> list[tuple[int, int]]:
    kept: list[tuple[int, int]] = []
    for used, worth in sorted(states, key=lambda one: (one[0], -one[1])):
        if not kept or worth > kept[-1][1]:
            kept.append((used, worth))
    return kept
