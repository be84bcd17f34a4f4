"""What a loaded vehicle asks: plates to read and cases to weigh before its limits are proven.

A mass assumed by size is ours: it refuses nothing by itself and allows nothing. Where the limit
holds for the stated masses only, the sentence says by how much it may be broken at worst.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from server.core.base.figure import count_words, mass_words
from server.core.base.quantity import Quantity, total
from server.core.base.units import Units
from server.core.shop.case import Case
from server.core.shop.case_mass import mass_of
from server.core.shop.plan import Place
from server.core.shop.vehicle import Axles, Vehicle
from server.core.weight.balance import Load as Spot
from server.core.weight.balance import two_supports
from server.core.weight.limits import FRONT_WORDS, REAR_WORDS

End = Literal["front", "rear"]


@dataclass(frozen=True, slots=True)
class Stood:
    """A mass as an interval, and where its middle stands behind the bulkhead."""

    mass: Quantity
    at_um: Fraction


def asks(
    vehicle: Vehicle, places: Collection[Place], cases: Mapping[str, Case], units: Units
) -> Iterator[str]:
    """Yield what has to be read or weighed, in plain words; nothing for an empty vehicle."""
    if not places:
        return
    yield from _plates(vehicle)
    yield from at_worst(vehicle, places, cases, units)


def at_worst(
    vehicle: Vehicle, places: Collection[Place], cases: Mapping[str, Case], units: Units
) -> Iterator[str]:
    """Yield the limits that hold for the stated masses and may not at worst."""
    stood = [Stood(mass_of(cases[p.code]), p.y + Fraction(p.dy, 2)) for p in places]
    without = sum(not one.mass.known for one in stood)
    if not without:
        return
    load = total(one.mass for one in stood)
    say = _Worst(count_words(without, "case"), units)
    yield from say.most("payload", load.low, load.high or 0, vehicle.payload_g)
    if vehicle.axles is not None:
        yield from _supports(vehicle.axles, stood, say)


def _plates(vehicle: Vehicle) -> Iterator[str]:
    """Name every plate and label of which nobody entered the figure."""
    axles, ramp, gate, straps = vehicle.axles, vehicle.ramp, vehicle.lift_gate, vehicle.straps
    if vehicle.payload_g is None and (axles is None or axles.gross_limit_g is None):
        yield "payload not known: read the vehicle's plate"
    if axles is None:
        yield "axles not known: their loads were not computed"
    else:
        limits = (
            (FRONT_WORDS[axles.kind], axles.front_limit_g),
            (REAR_WORDS[axles.kind], axles.rear_limit_g),
        )
        for words, limit in limits:
            if limit is None:
                yield f"limit of the {words} not known: read the plate"
    if straps is None or straps.wll_g is None:
        yield "limit of a strap not known, counted as the smallest usual one: read the label"
    if ramp is not None and ramp.rating_g is None:
        yield "rating of the ramp not known: read the plate"
    if gate is not None and gate.rating_g is None:
        yield "rating of the lift gate not known: read the plate"


@dataclass(frozen=True, slots=True)
class _Worst:
    """Sentences on a limit that holds for the stated masses and may not at worst."""

    without: str
    units: Units

    def most(self, what: str, low: int, high: int, limit: int | None) -> Iterator[str]:
        if limit is not None and low <= limit < high:
            over = mass_words(high - limit, self.units)
            yield f"{what}: with {self.without} without a mass up to {over} over: weigh first"

    def lifted(self, what: str, low: int) -> Iterator[str]:
        if low < 0:
            yield f"{what}: with {self.without} without a mass it may be lifted: weigh first"


def _supports(axles: Axles, stood: list[Stood], say: _Worst) -> Iterator[str]:
    ends: tuple[tuple[End, str, int | None], ...] = (
        ("front", FRONT_WORDS[axles.kind], axles.front_limit_g),
        ("rear", REAR_WORDS[axles.kind], axles.rear_limit_g),
    )
    empty = axles.empty_front_g + axles.empty_rear_g
    load = total(one.mass for one in stood)
    yield from say.most("gross", empty + load.low, empty + (load.high or 0), axles.gross_limit_g)
    least = {}
    for end, words, limit in ends:
        stated = _support(axles, stood, end, "stated")
        least[end] = _support(axles, stood, end, "least")
        yield from say.most(words, stated, _support(axles, stood, end, "most"), limit)
        if stated >= 0:
            yield from say.lifted(words, least[end])
    share = axles.least_share
    rear = _support(axles, stood, "rear", "most")
    if share is not None and 0 <= least["front"] < share * (least["front"] + rear):
        words = FRONT_WORDS[axles.kind]
        yield (
            f"{words}: with {say.without} without a mass it may carry less than {share:.0%} of the "
            "mass on the ground: weigh first"
        )


def _support(
    axles: Axles, stood: list[Stood], end: End, worst: Literal["stated", "least", "most"]
) -> int:
    """Return what one support carries with every mass at the end that loads it so."""
    spots = []
    for one in stood:
        presses = one.at_um < axles.rear_at_um if end == "front" else one.at_um > axles.front_at_um
        heavy = worst != "stated" and presses == (worst == "most")
        spots.append(Spot((one.mass.high or 0) if heavy else one.mass.low, one.at_um))
    front, rear = two_supports(spots, axles.front_at_um, axles.rear_at_um)
    if end == "front":
        return round(axles.empty_front_g + front)
    return round(axles.empty_rear_g + rear)
