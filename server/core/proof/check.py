"""The checker: recomputes a bound from whole dual values, and holds a claim against it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import accumulate

from server.core.proof.relaxation import Item, Relaxation, best_fill, next_sum
from server.core.shop.show import Show

KINDS = ("at least", "shortest", "cannot load", "fewest left", "least mass left")


class NotProven(Exception):
    """The certificate does not prove its claim; the message says where it fails."""


@dataclass(frozen=True, slots=True)
class Duals:
    """Whole dual values: worth of a case on the floor, price of lids; micrometres x scale.

    `area` a square millimetre, `mass` a gram of what stands on lids, by drop.
    """

    scale: int
    values: Mapping[str, int]
    area: Mapping[int, int]
    mass: Mapping[int, int]

    def lid_price(self, item: Item, drop: int) -> int:
        """Return what a case's lid costs where it serves cases of a drop."""
        return self.area.get(drop, 0) * item.lid_area + self.mass.get(drop, 0) * item.lid_mass

    def gain(self, item: Item) -> int:
        """Return what it is worth to let a lid serve the drop before its own, per kind of price."""
        area = max(0, self.area.get(item.drop - 1, 0) - self.area.get(item.drop, 0))
        mass = max(0, self.mass.get(item.drop - 1, 0) - self.mass.get(item.drop, 0))
        return area * item.lid_area + mass * item.lid_mass


@dataclass(frozen=True, slots=True)
class Claim:
    """What a certificate states: one of KINDS.

    `floor_um` belongs to the first two and `vehicles` to the second, `codes` (what is left) to the
    last two.
    """

    kind: str
    floor_um: int = 0
    vehicles: int = 0
    codes: tuple[str, ...] = ()


def floor_bound(relaxation: Relaxation, duals: Duals) -> int:
    """Return micrometres of floor that no plan undercuts; NotProven where a row is worth too much.

    For every row class and depth the best row is found anew by a knapsack in whole numbers. Its
    excess over the depth is forbidden in rows of one drop, and paid for in shared rows, of which
    there is at most one for each pair of drops and vehicle.
    """
    worth = {item.code: _worth(item, duals) for item in relaxation.items}
    total = sum(worth.values())
    for item in relaxation.items:
        total -= duals.lid_price(item, item.drop)
        # A case that stands on others may be in a shared row without taking any of its width.
        total -= duals.gain(item) if item.optional else 0
    for pool in relaxation.pools:
        items = relaxation.in_pool(pool)
        held = {
            item.code: worth[item.code]
            + (duals.gain(item) if item.drop > pool[0] and not item.optional else 0)
            for item in items
        }
        excess = _excess(relaxation, items, held, duals.scale)
        if len(pool) == 1 and excess > 0:
            raise NotProven(f"a row of drop {pool[0]} is worth more than its depth")
        total -= excess * len(relaxation.show.vehicles)
    return max(0, -(-total // duals.scale))


def _worth(item: Item, duals: Duals) -> int:
    """Return what a case adds to the bound; off the floor it costs no more than its lids."""
    value = duals.values.get(item.code, 0)
    if value < 0:
        raise NotProven(f"{item.code} has a value below zero")
    lids = duals.area.get(item.drop, 0) * item.area + duals.mass.get(item.drop, 0) * item.mass
    return min(value, lids) if item.optional else value


def _excess(
    relaxation: Relaxation, items: Sequence[Item], worth: Mapping[str, int], scale: int
) -> int:
    """Return by how much the best row of some cases is worth more than its depth, at most."""
    most = 0
    for depth in sorted({deep for item in items for _, deep in item.ways}):
        widths: dict[int, list[int]] = defaultdict(list)
        for item in items:
            width = item.width_at(depth)
            if width is not None:
                widths[width].append(worth[item.code])
        most = max(most, best_fill(widths, relaxation.width) - depth * scale)
    return most


def check(show: Show, claim: Claim, duals: Duals) -> str:
    """Return in words why the claim holds; NotProven where the certificate does not show it."""
    if duals.scale < 1 or min([0, *duals.area.values(), *duals.mass.values()]) < 0:
        raise NotProven("expected a scale above zero and no price below zero")
    relaxation = Relaxation(show)
    if claim.kind == "at least":
        bound = floor_bound(relaxation, duals)
        if bound < claim.floor_um:
            raise NotProven(f"the values prove {bound} um, the claim is {claim.floor_um} um")
        return f"every plan takes at least {bound} um of floor"
    if claim.kind == "shortest":
        return _shortest(relaxation, claim, duals)
    if claim.kind == "cannot load":
        return _cannot_load(relaxation, duals)
    if claim.kind in ("fewest left", "least mass left"):
        return _least_left(show, claim)
    raise NotProven(f"no claim of this kind: {claim.kind[:40]}")


def _shortest(relaxation: Relaxation, claim: Claim, duals: Duals) -> str:
    bound = floor_bound(relaxation, duals)
    if not 1 <= claim.vehicles <= len(relaxation.show.vehicles):
        raise NotProven("expected a number of vehicles of the show")
    fewer = claim.vehicles - 1
    if fewer and not too_small(relaxation, bound, fewer):
        raise NotProven(f"{fewer} of the vehicles may hold everything")
    shorter = next_sum(relaxation.depths, bound, claim.floor_um)
    if shorter is not None and shorter < claim.floor_um:
        raise NotProven(f"a plan of {shorter} um is not excluded, the claim is {claim.floor_um} um")
    return (
        f"every plan takes at least {bound} um of floor, and no sum of row depths lies between "
        f"that and {claim.floor_um} um"
    )


def too_small(relaxation: Relaxation, bound: int, count: int) -> bool:
    """Return whether any `count` vehicles are too short or carry too little for everything."""
    vehicles = relaxation.show.vehicles
    lengths = sorted((one.length_um for one in vehicles), reverse=True)
    if bound > sum(lengths[:count]):
        return True
    payloads = [one.payload_g for one in vehicles]
    known = sorted((one for one in payloads if one is not None), reverse=True)
    mass = sum(case.mass_g for case in relaxation.show.cases)
    return len(known) == len(payloads) and mass > sum(known[:count]) + _slop(relaxation.show, count)


def _slop(show: Show, count: int) -> int:
    """Return what rounding to grams may add to `count` payloads."""
    return (len(show.cases) + 1) // 2 + 2 * count


def _cannot_load(relaxation: Relaxation, duals: Duals) -> str:
    misfits = relaxation.misfits()
    if misfits:
        return f"{misfits[0]} stands in no vehicle in any way"
    bound = floor_bound(relaxation, duals)
    if too_small(relaxation, bound, len(relaxation.show.vehicles)):
        return f"every plan takes at least {bound} um of floor, or the payloads are too small"
    raise NotProven(f"the vehicles have floor and payload for what the bound ({bound} um) asks")


def _least_left(show: Show, claim: Claim) -> str:
    """Hold what is left against the payload: no fewer cases, or no lighter set, would do."""
    known = [one.payload_g for one in show.vehicles if one.payload_g is not None]
    if len(known) < len(show.vehicles):
        raise NotProven("a vehicle has no payload: mass proves nothing")
    masses = {case.code: case.mass_g for case in show.cases}
    if not set(claim.codes) <= set(masses) or len(set(claim.codes)) != len(claim.codes):
        raise NotProven("expected each case that is left once, all of the show")
    over = sum(masses.values()) - sum(known) - _slop(show, len(known))
    if over <= 0:
        raise NotProven("the payloads carry everything")
    if claim.kind == "fewest left":
        heaviest = accumulate(sorted(masses.values(), reverse=True))
        need = next(count for count, mass in enumerate(heaviest, start=1) if mass >= over)
        if need < len(claim.codes):
            raise NotProven(f"{need} cases may do, the claim names {len(claim.codes)}")
        return f"the load is {over} g over, and no {need - 1} cases weigh that much"
    left = sum(masses[code] for code in claim.codes)
    lighter = _lighter_sum(list(masses.values()), over, left)
    if lighter is not None:
        raise NotProven(f"cases of {lighter} g may do, the claim leaves {left} g")
    return f"the load is {over} g over, and no set of cases weighs from that to below {left} g"


def _lighter_sum(masses: list[int], least: int, most: int) -> int | None:
    """Return a sum of masses from `least` to below `most`, or None where there is none."""
    sums = {0}
    for mass in masses:
        sums |= {one + mass for one in sums if one + mass < most}
        if len(sums) > 500_000:
            return least  # too many to list: not excluded
    return next((one for one in sorted(sums) if one >= least), None)
