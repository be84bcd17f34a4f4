"""Mass and axle loads of what is really on board, by moments, in whole grams."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Final, Literal

from server.core.base.quantity import Quantity, exactly
from server.core.crew.bundle import Bundle
from server.core.night.house_state import AddedCase, WeighedState
from server.core.night.sheets import Sheets
from server.core.night.state import AxleState
from server.core.shop.case_mass import assumed_most_g
from server.core.shop.vehicle import Axles
from server.core.weight.balance import Load, axle_loads

# What a case that came late counts, of which neither mass nor sides were said: 1,000 lb, the
# heaviest that crews roll. Common practice, no source; a scale settles it.
UNKNOWN_LATE_G: Final = 453_592


@dataclass(frozen=True, slots=True)
class Masses:
    """What is known of masses tonight: cards of the fleet, added cases, the scale."""

    bundle: Bundle
    added: Mapping[str, AddedCase]
    weighed: Mapping[str, WeighedState]

    def of(self, code: str) -> Quantity:
        """Return a mass by the scale or the chief's guess, by the card, as said, or assumed."""
        scale = self.weighed.get(code)
        if scale is not None:
            return exactly(scale.mass_g, "weighed" if scale.how == "scale" else "guessed")
        card, late = self.bundle.cases.get(code), self.added.get(code)
        stated = card.mass_g if card is not None else (late.mass_g if late is not None else None)
        if stated:
            return exactly(stated)
        most = card.most_g if card is not None else _most_of_late(late)
        return Quantity(0, most or UNKNOWN_LATE_G, "assumed")

    def worst_g(self, code: str) -> int:
        """Return the end of a case's mass that is worse for payload, straps and people."""
        high = self.of(code).high
        assert high is not None
        return high


def _most_of_late(late: AddedCase | None) -> int:
    if late is None:
        return 0
    sides = (late.length_um, late.width_um, late.height_um)
    known = [side for side in sides if side]
    return assumed_most_g(known[0], known[1], known[2]) if len(known) == len(sides) else 0


def weigh_on_board(
    axles: Axles,
    sheets: Sheets,
    vehicle: str,
    row_of: Mapping[str, int | None],
    masses: Masses,
) -> AxleState:
    """Return what each support carries with the empty vehicle, at worst where masses are assumed.

    A case stands in the middle of its planned place; in another row, in the middle of that row;
    one without a row at the door end of the floor used, which is where a late case goes. A mass
    that is not known counts at the end that loads a support most; `least_front_g` and
    `least_rear_g` at the other, which lifts it.
    """
    at_door = 2 * sheets.vehicles[vehicle].floor_length_um
    spots, assumed = [], []
    for code, row in row_of.items():
        twice = _twice_middle(sheets, vehicle, code, row)
        if twice is None:
            assumed.append(code)
        spots.append((masses.of(code), Fraction(at_door if twice is None else twice, 2)))
    front, least_front = (_support(spots, axles, "front", worst=one) for one in ("high", "low"))
    rear, least_rear = (_support(spots, axles, "rear", worst=one) for one in ("high", "low"))
    gross = axles.empty_front_g + axles.empty_rear_g + sum(mass.high or 0 for mass, _ in spots)
    return AxleState(
        front,
        rear,
        gross,
        _share(least_front, rear),
        tuple(sorted(assumed)),
        least_front,
        least_rear,
        _share(front, least_rear),
    )


def _share(front_g: int, rear_g: int) -> float | None:
    return front_g / (front_g + rear_g) if front_g + rear_g else None


def _support(
    spots: list[tuple[Quantity, Fraction]],
    axles: Axles,
    end: Literal["front", "rear"],
    worst: Literal["high", "low"],
) -> int:
    """Return one support in grams with every mass at the end that loads it most, or least."""
    loads = []
    for mass, at in spots:
        presses = at < axles.rear_at_um if end == "front" else at > axles.front_at_um
        heavy = presses == (worst == "high")
        loads.append(Load((mass.high or 0) if heavy else mass.low, at))
    front, rear = axle_loads(loads, axles)
    return front if end == "front" else rear


def _twice_middle(sheets: Sheets, vehicle: str, code: str, row: int | None) -> int | None:
    """Return twice the distance of a case's middle from the bulkhead, so that it stays whole."""
    if row is None:
        return None
    planned = sheets.planned(vehicle, code)
    if planned is not None and planned.row.number == row:
        return 2 * planned.place.y + planned.place.dy
    for sheet in sheets.vehicles[vehicle].rows:
        if sheet.number == row:
            return 2 * sheet.start_um + sheet.depth_um
    return None
