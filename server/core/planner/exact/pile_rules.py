"""What may stand in a pile of a small show: support, lids, hands, drops, as the judge has them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from server.core.base.units import within
from server.core.planner.problem.model import Way
from server.core.planner.problem.pair_rules import may_be_under
from server.core.shop.case import Case
from server.core.shop.show import Rules


@dataclass(frozen=True, slots=True)
class Spot:
    """One case of a pile: its type, how it stands, its corner, and the spots that carry it."""

    type: int
    way: Way
    x: int
    y: int
    z: int
    on: tuple[int, ...] = ()

    @property
    def top(self) -> int:
        """Height of the upper edge."""
        return self.z + self.way.dz


@dataclass(frozen=True, slots=True)
class Pile:
    """An arrangement: floor taken, twice the moment about the row's line, who stands where."""

    width: int
    depth: int
    moment: int
    spots: tuple[Spot, ...]


@dataclass(frozen=True)
class PileRules:
    """The rules of piles over types of cases."""

    cases: Sequence[Case]
    rules: Rules

    def checked(self, spots: Sequence[Spot], one: Spot) -> Spot | None:
        """Return the spot with what carries it, or None where a rule of piles forbids it."""
        case = self.cases[one.type]
        below = tuple(i for i, s in enumerate(spots) if s.top == one.z and _shared(s, one))
        if sum(_shared(spots[i], one) for i in below) != one.way.dx * one.way.dy:
            return None
        if not self._lids_may_carry([spots[i] for i in below], one):
            return None
        under = _all_below(spots, below)
        if not all(may_be_under(self.cases[spots[i].type], case) for i in under):
            return None
        spot = replace(one, on=below)
        return spot if self._lids_hold([*spots, spot]) else None

    def _lids_may_carry(self, below: Sequence[Spot], one: Spot) -> bool:
        """Return whether lids take this case: on its own footprint, or as a rider."""
        case, rules, riding = self.cases[one.type], self.rules, True
        for spot in below:
            lower = self.cases[spot.type]
            if spot.way.stance != "upright":
                return False
            same = (spot.x, spot.y, spot.way.dx, spot.way.dy) == (one.x, one.y, *_floor(one.way))
            if same and lower.lid_casters:
                riding = False
                if lower.lid_load_g is None and case.mass_g:
                    return False
            elif not case.rides or lower.lid_load_g is None:
                return False
        if not riding:
            return True
        high = rules.lift_top_um is not None and one.top > rules.lift_top_um
        return within(case.mass_g, rules.rider_mass_g, 1) and not high

    def _lids_hold(self, spots: Sequence[Spot]) -> bool:
        loads, counts = [0.0] * len(spots), [0] * len(spots)
        for i in sorted(range(len(spots)), key=lambda i: -spots[i].z):
            spot = spots[i]
            pressing = self.cases[spot.type].mass_g + loads[i]
            for lower in spot.on:
                share = _shared(spots[lower], spot) / (spot.way.dx * spot.way.dy)
                loads[lower] += pressing * share
                counts[lower] += 1 + counts[i]
        for spot, load, count in zip(spots, loads, counts, strict=True):
            limit = self.cases[spot.type].lid_load_g
            if limit is not None and not within(round(load), limit, count):
                return False
        return True


def _floor(way: Way) -> tuple[int, int]:
    return way.dx, way.dy


def _all_below(spots: Sequence[Spot], below: Sequence[int]) -> set[int]:
    """Return every spot under one that stands on these."""
    found, waiting = set(below), list(below)
    while waiting:
        for i in spots[waiting.pop()].on:
            if i not in found:
                found.add(i)
                waiting.append(i)
    return found


def _shared(one: Spot, other: Spot) -> int:
    """Return the area over which two spots overlap, seen from above."""
    across = min(one.x + one.way.dx, other.x + other.way.dx) - max(one.x, other.x)
    along = min(one.y + one.way.dy, other.y + other.way.dy) - max(one.y, other.y)
    return across * along if across > 0 and along > 0 else 0
