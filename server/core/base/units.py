"""Lengths are whole micrometres and masses whole grams; other units are turned here, at the edge.

Whole numbers make width arithmetic exact: one inch is 25,400 micrometres, so three cases of 30 in
fill 90 in and four of a quarter of the width always fit. What cannot be a whole number is rounded
so that N equal parts of a width never exceed it (lengths of cases down by less than a micrometre).
Masses go to the nearest gram; `within` gives a sum the half gram a part that this can have added,
so that 20 cases of 450 lb do load a payload of 9,000 lb.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_EVEN, Decimal
from typing import Final, Literal

LengthUnit = Literal["in", "cm", "mm"]
MassUnit = Literal["lb", "kg"]

# International yard and pound agreement, 1959: 1 in = 25.4 mm, 1 lb = 0.45359237 kg exactly.
UM_PER: Final[dict[str, Decimal]] = {
    "in": Decimal(25_400),
    "cm": Decimal(10_000),
    "mm": Decimal(1_000),
    "ft": Decimal(304_800),
    "m": Decimal(1_000_000),
}
G_PER: Final[dict[str, Decimal]] = {"lb": Decimal("453.59237"), "kg": Decimal(1_000)}

Rounding = Literal["down", "near", "up"]
_MODES: Final[dict[Rounding, str]] = {
    "down": ROUND_FLOOR,
    "near": ROUND_HALF_EVEN,
    "up": ROUND_CEILING,
}


def to_um(value: float, unit: str, rounding: Rounding = "near") -> int:
    """Return a length in whole micrometres of the float's decimal text, not its binary tail."""
    return int((Decimal(repr(value)) * UM_PER[unit]).to_integral_value(_MODES[rounding]))


def to_g(value: float, unit: str, rounding: Rounding = "near") -> int:
    """Return a mass in whole grams."""
    return int((Decimal(repr(value)) * G_PER[unit]).to_integral_value(_MODES[rounding]))


def from_um(um: int, unit: str) -> float:
    """Return a length in `unit`, to six decimals, which brings back the same micrometre."""
    return float(round(Decimal(um) / UM_PER[unit], 6))


def from_g(grams: int, unit: str) -> float:
    """Return a mass in `unit`: kilograms to the gram, pounds to a tenth."""
    return float(round(Decimal(grams) / G_PER[unit], 3 if unit == "kg" else 1))


def within(total_g: int, limit_g: int | None, parts: int) -> bool:
    """Return whether a sum of `parts` rounded masses keeps a limit; None is no limit."""
    return limit_g is None or total_g <= limit_g + (parts + 1) // 2 + 1


# A share is a quotient of two sums of rounded masses: one part in a million of the gross mass is
# what their rounding may add (half a gram a case on a trailer of a tonne).
SHARE_BLUR: Final = 1e-6


def share_within(front_g: float, gross_g: float, low: float | None, high: float | None) -> bool:
    """Return whether the front support's share of the gross mass keeps its window."""
    share = front_g / gross_g if gross_g else 0.0
    return (low is None or share >= low - SHARE_BLUR) and (
        high is None or share <= high + SHARE_BLUR
    )


@dataclass(frozen=True, slots=True)
class Units:
    """The units in which a file or a screen speaks."""

    length: LengthUnit = "in"
    mass: MassUnit = "lb"
