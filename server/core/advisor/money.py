"""Prices as the owner entered them, in one currency; everything works without them.

Amounts are whole hundredths of the currency. A vehicle may also be priced by loading metres: floor
length used times width over 2.4 m (common practice in European road freight, no source).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final

LOADING_METRE_UM: Final = 1_000_000
LOADING_WIDTH_UM: Final = 2_400_000


@dataclass(frozen=True, slots=True)
class VehiclePrice:
    """What one vehicle costs; None: not known. `tolls` are those of one trip there and back."""

    day: int | None = None
    distance: int | None = None  # per mile or kilometre, whichever the owner counts in
    tolls: int = 0
    loading_metre: int | None = None

    def __post_init__(self) -> None:
        """Refuse a price below zero."""
        for amount in (self.day, self.distance, self.tolls, self.loading_metre):
            if amount is not None and amount < 0:
                raise ValueError("vehicle price: expected amounts of zero or more")


@dataclass(frozen=True, slots=True)
class Prices:
    """Every price that is known; `driver_hour` and `hand_hour` by the hour."""

    currency: str = ""
    vehicles: Mapping[str, VehiclePrice] = field(default_factory=dict)
    driver_hour: int | None = None
    hand_hour: int | None = None
    case: int | None = None  # one new case


def loading_metres(floor_um: int, width_um: int) -> float:
    """Return floor as loading metres: its area over a metre of a floor 2.4 m wide."""
    return floor_um * width_um / (LOADING_METRE_UM * LOADING_WIDTH_UM)
