"""Heavy low, and few high lifts: who stands on whom, where either order is lawful.

Cases of one tower change places so that the heavier is below; riders of one footprint change places
so that hands lift the lighter one higher; a rider goes to a free lower lid. Rows stay as long and
as wide as they are.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

from server.core.planner.problem.model import Footing, Line, Load, Put, Stack, Standing
from server.core.planner.stacking.lid_rules import (
    lid_holds,
    may_ride,
    takes_casters,
    takes_riders,
    wishes_agree,
)
from server.core.shop.show import Rules

MOST_RIDERS = 120  # beyond that pairs are too many to go through


@dataclass(frozen=True)
class Spot:
    """Where a case is: row, stack in it, place in the stack."""

    row: int
    stack: int
    put: int


def lower_heavy(load: Load, rules: Rules) -> Load:
    """Return the load with the heavy as low as exchanges bring it."""
    lines = [Line(tuple(_with_sorted_towers(one) for one in line.standings)) for line in load.lines]
    ceiling = min(load.vehicle.height_um, rules.lift_top_um or load.vehicle.height_um)
    return replace(load, lines=tuple(_Riders(lines, rules, ceiling).settled()))


def _standing(puts: Sequence[Put], like: Standing) -> Standing:
    footing = Footing(like.footing.width, like.footing.depth, tuple(puts))
    return Standing(Stack((footing,)), footing)


def _with_sorted_towers(one: Standing) -> Standing:
    """Return the stack with heavier cases below lighter ones, as far as lids bear that."""
    changed = True
    while changed:
        changed = False
        for lower, upper in _on_casters(one.footing.puts):
            if upper.case.mass_g <= lower.case.mass_g:
                continue
            puts = _exchanged(one.footing.puts, lower, upper)
            if puts is not None:
                one, changed = _standing(puts, one), True
                break
    return one


def _on_casters(puts: Sequence[Put]) -> Iterator[tuple[Put, Put]]:
    """Yield each case that stands on casters with the one below it."""
    by_code = {put.case.code: put for put in puts}
    for upper in puts:
        lower = by_code[upper.on[0]] if len(upper.on) == 1 else None
        if lower is not None and takes_casters(lower.case) and _floor(upper) == _floor(lower):
            yield lower, upper


def _floor(put: Put) -> tuple[int, int, int, int]:
    return put.x, put.y, put.way.dx, put.way.dy


def _exchanged(puts: Sequence[Put], lower: Put, upper: Put) -> list[Put] | None:
    """Return the stack with two cases of a tower exchanged, or None where that is not lawful."""
    if not takes_casters(upper.case) or lower.way.stance != "upright":
        return None
    names = {lower.case.code: upper.case.code, upper.case.code: lower.case.code}
    found = []
    for put in puts:
        if put is lower:
            on = (upper.case.code,)
            found.append(replace(put, z=lower.z + upper.way.dz, on=on))
        elif put is upper:
            found.append(replace(put, z=lower.z, on=lower.on))
        else:
            found.append(replace(put, on=tuple(names.get(code, code) for code in put.on)))
    return found if stands(found) else None


def stands(puts: Sequence[Put]) -> bool:
    """Return whether lids bear what is on them, by rules and by mass, through the whole stack."""
    by_code = {put.case.code: put for put in puts}
    loads, counts = dict.fromkeys(by_code, 0.0), dict.fromkeys(by_code, 0)
    for upper in sorted(puts, key=lambda put: -put.z):
        code = upper.case.code
        pressing = upper.case.mass_g + loads[code]
        for below in upper.on:
            lower = by_code[below]
            casters = takes_casters(lower.case) and _floor(upper) == _floor(lower)
            if not casters and not (upper.case.rides and takes_riders(lower.case)):
                return False
            loads[below] += pressing * _share(upper, lower)
            counts[below] += 1 + counts[code]
        if not all(wishes_agree(upper.case, lower.case) for lower in _below(upper, by_code)):
            return False
    return all(
        lid_holds(put.case, round(loads[code]), counts[code])
        for code, put in by_code.items()
        if counts[code]
    )


def _below(upper: Put, by_code: dict[str, Put]) -> Iterator[Put]:
    for code in upper.on:
        yield by_code[code]
        yield from _below(by_code[code], by_code)


def _share(upper: Put, lower: Put) -> float:
    across = min(upper.x + upper.way.dx, lower.x + lower.way.dx) - max(upper.x, lower.x)
    along = min(upper.y + upper.way.dy, lower.y + lower.way.dy) - max(upper.y, lower.y)
    return across * along / (upper.way.dx * upper.way.dy)


class _Riders:
    """Riders of a vehicle changing places."""

    def __init__(self, lines: list[Line], rules: Rules, ceiling: int) -> None:
        self.lines, self.rules, self.ceiling = lines, rules, ceiling

    def settled(self) -> list[Line]:
        """Exchange and move riders until nothing gets lower by it."""
        for _ in range(3):
            before = self.lines
            spots = self._spots()
            for one, other in combinations(spots, 2) if len(spots) <= MOST_RIDERS else ():
                self._exchange(one, other)
            while any(self._move_down(spot) for spot in self._spots()):
                pass  # places are counted anew after each move
            if before == self.lines:
                break
        return self.lines

    def _spots(self) -> list[Spot]:
        """Return the places of riders on which nothing stands."""
        found = []
        for row, line in enumerate(self.lines):
            for stack, one in enumerate(line.standings):
                puts = one.footing.puts
                bearing = {code for put in puts for code in put.on}
                casters = {upper.case.code for _, upper in _on_casters(puts)}
                found += [
                    Spot(row, stack, number)
                    for number, put in enumerate(puts)
                    if put.on and put.case.code not in bearing | casters
                ]
        return found

    def _puts(self, spot: Spot) -> list[Put]:
        return list(self.lines[spot.row].standings[spot.stack].footing.puts)

    def _set(self, row: int, stack: int, puts: Sequence[Put]) -> None:
        line = self.lines[row]
        standings = list(line.standings)
        standings[stack] = _standing(puts, standings[stack])
        self.lines = [*self.lines[:row], Line(tuple(standings)), *self.lines[row + 1 :]]

    def _exchange(self, one: Spot, other: Spot) -> None:
        """Exchange two riders of one footprint and drop if the heavier gets lower by it."""
        first, second = self._puts(one), self._puts(other)
        a, b = first[one.put], second[other.put]
        gets_lower = (a.case.mass_g - b.case.mass_g) * (a.z - b.z) > 0
        alike = (a.way.dx, a.way.dy, a.case.drop) == (b.way.dx, b.way.dy, b.case.drop)
        if not gets_lower or not alike or (one.row, one.stack) == (other.row, other.stack):
            return
        if max(a.z + b.way.dz, b.z + a.way.dz) > self.ceiling:
            return
        first[one.put] = replace(a, case=b.case, way=b.way)
        second[other.put] = replace(b, case=a.case, way=a.way)
        if stands(first) and stands(second):
            self._set(one.row, one.stack, first)
            self._set(other.row, other.stack, second)

    def _move_down(self, spot: Spot) -> bool:
        """Move a rider to the lowest lid on which nothing stands and which bears it, if lower."""
        puts = self._puts(spot)
        rider = puts[spot.put]
        if not may_ride(rider.case, self.rules):
            return False
        lids = sorted(self._free_lids(rider), key=lambda one: one[0])
        for top, row, stack, lid in lids:
            if top >= rider.z:
                break
            moved = replace(rider, x=lid.x, y=lid.y, z=top, on=(lid.case.code,))
            target = [*self.lines[row].standings[stack].footing.puts, moved]
            if (row, stack) == (spot.row, spot.stack):
                target.remove(rider)
            if stands(target):
                if (row, stack) != (spot.row, spot.stack):
                    self._set(spot.row, spot.stack, [put for put in puts if put is not rider])
                self._set(row, stack, target)
                return True
        return False

    def _free_lids(self, rider: Put) -> Iterator[tuple[int, int, int, Put]]:
        """Yield height, row, stack and case of each lid that is free, large and low enough."""
        for row, line in enumerate(self.lines):
            low, high = line.drops
            if rider.case.drop not in (low, high):
                continue
            for stack, one in enumerate(line.standings):
                bearing = {code for put in one.footing.puts for code in put.on}
                for lid in one.footing.puts:
                    large = rider.way.dx <= lid.way.dx and rider.way.dy <= lid.way.dy
                    upright = lid.way.stance == "upright" and takes_riders(lid.case)
                    if lid is not rider and lid.case.code not in bearing and large and upright:
                        yield lid.top, row, stack, lid
