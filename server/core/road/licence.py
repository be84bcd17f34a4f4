"""Mass that changes who may drive: US commercial vehicles, GB and EU categories, couplings."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil
from typing import Final

from server.core.base.figure import Figure, Value
from server.core.weight.axle_rules import GROUP_B_LB

US_SOURCE: Final = "49 CFR 390.5 (commercial vehicle) and 383.5 (licence groups)"
COMMERCIAL_LB: Final = 10_001  # 49 CFR 390.5, rating or actual, vehicle or combination
TRAILER_A_LB: Final = 10_000  # 49 CFR 383.5: group A above this

GB_SOURCE: Final = "GB driving licence categories (EU Directive 2006/126/EC art. 4)"
B_KG: Final = 3_500
C1_KG: Final = 7_500
TRAILER_KG: Final = 750
C1E_KG: Final = 12_000
COUPLING_SOURCE: Final = "Regulation (EU) 1230/2012: vertical load of the coupling"
COUPLING_SHARE: Final = 0.04
COUPLING_LEAST_KG: Final = 25.0
STEERED_SOURCE: Final = "EU type-approval text on masses: 20 % on the steered axle (cars 30 %)"
STEERED: Final[dict[str, float]] = {"goods": 0.20, "car": 0.30}
DRIVING_SOURCE: Final = "Directive 96/53/EC annex I 4.1, from memory: driving axles in EU traffic"
DRIVING_SHARE: Final = 0.25


@dataclass(frozen=True, slots=True)
class Combination:
    """Pounds by rating and on the scale; the greater of both counts, so an unknown is never 0."""

    truck_rating: float
    truck_actual: float = 0.0
    trailer_rating: float = 0.0
    trailer_actual: float = 0.0

    @property
    def truck(self) -> float:
        """Return the greater of rating and actual mass, a part of a pound counted whole."""
        return ceil(max(self.truck_rating, self.truck_actual))

    @property
    def trailer(self) -> float:
        """Return the greater of rating and actual mass of the trailer."""
        return ceil(max(self.trailer_rating, self.trailer_actual))


def us_licence(one: Combination) -> Figure:
    """Return the licence group (A, B or none) and whether it is a commercial vehicle."""
    together = one.truck + one.trailer
    group = "none"
    if together >= GROUP_B_LB and one.trailer > TRAILER_A_LB:
        group = "A"
    elif one.truck >= GROUP_B_LB:
        group = "B"
    commercial = max(together, one.truck) >= COMMERCIAL_LB
    why = (
        f"licence group {group}: {one.truck:,.0f} lb, trailer {one.trailer:,.0f} lb, the greater "
        f"of rating and actual; {'a' if commercial else 'no'} commercial motor vehicle"
    )
    parts: tuple[tuple[str, Value], ...] = (("cmv", commercial), ("together_lb", together))
    return Figure(group, "group", US_SOURCE, why, "planning", parts)


def gb_category(vehicle_kg: float, trailer_kg: float = 0.0) -> Figure:
    """Return the lowest category by maximum masses; with a trailer above 750 kg the E of it."""
    category = "B" if vehicle_kg <= B_KG else "C1" if vehicle_kg <= C1_KG else "C"
    why = f"a maximum mass of {vehicle_kg:,g} kg"
    if trailer_kg > TRAILER_KG:
        if category == "C1" and not c1e_allows(vehicle_kg, trailer_kg):
            category = "C"
        category += "E"
        why += f" with a trailer of {trailer_kg:,g} kg (B from a test since 2021 tows to 3,500 kg)"
    return Figure(category, "category", GB_SOURCE, why, "planning")


def c1e_allows(vehicle_kg: float, trailer_kg: float) -> bool:
    """Return whether C1E covers a combination: 12,000 kg together, trailer not the heavier."""
    return vehicle_kg <= C1_KG and vehicle_kg + trailer_kg <= C1E_KG and trailer_kg <= vehicle_kg


def coupling_least_kg(towable_kg: float) -> Figure:
    """Return the vertical load for which a coupling must at least be rated."""
    value = max(COUPLING_LEAST_KG, COUPLING_SHARE * towable_kg)
    why = f"4 % of {towable_kg:,g} kg that may be towed, and never under 25 kg; the plates decide"
    return Figure(value, "kg", COUPLING_SOURCE, why, "axles")


def steered_least(laden: float, unit: str, kind: str = "goods") -> Figure:
    """Return the least mass on the front steered axle of a laden vehicle."""
    why = f"{STEERED[kind]:.0%} of {laden:,g} {unit} laden ({kind}); a design rule, used on the day"
    return Figure(STEERED[kind] * laden, unit, STEERED_SOURCE, why, "axles")


def driving_least(gross: float, unit: str) -> Figure:
    """Return the least mass on the driving axles in EU international traffic."""
    why = f"{DRIVING_SHARE:.0%} of {gross:,g} {unit}"
    return Figure(DRIVING_SHARE * gross, unit, DRIVING_SOURCE, why, "axles")
