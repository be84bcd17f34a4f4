"""Road rules for axles and vehicles: bridge formula, classes, sliders, sizes; reference only."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil
from typing import Final

from server.core.base.figure import Figure

SINGLE_LB: Final = 20_000  # 23 CFR 658.17, one axle
TANDEM_LB: Final = 34_000  # 23 CFR 658.17, tandem
GROSS_LB: Final = 80_000  # 23 CFR 658.17, gross, from memory
GROUP_B_LB: Final = 26_001  # 49 CFR 383.91(a)(2), heavy straight vehicle
# Highest GVWR in pounds of US classes 1 to 7; class 8 above (class tables of two pages).
CLASS_LB: Final = (6_000, 10_000, 14_000, 16_000, 19_500, 26_000, 33_000)
# Directive 96/53/EC annex I: metres (1.1 to 1.3); tonnes (2 and 3) from memory.
EU_M: Final[dict[str, float]] = {
    "width": 2.55,
    "width conditioned": 2.60,
    "height": 4.00,
    "truck length": 12.00,
    "articulated": 16.50,
    "road train": 18.75,
}
EU_T: Final[dict[str, float]] = {
    "two-axle motor vehicle": 18,
    "three-axle": 25,
    "five/six-axle articulated": 40,
    "driving axle": 11.5,
    "non-driving axle": 10,
}


STEP_LB: Final = 500  # the formula's result goes to the nearest 500 lb
CLOSE_FT: Final = 8  # printed table: groups of 8 ft and less carry a tandem's limit


def bridge_formula_lb(length_ft: float, axles: int) -> Figure:
    """Return the most that a group of axles may carry, as the printed table rounds it.

    W = 500 (L N / (N - 1) + 12 N + 36), L from the first to the last axle of the group. Exact
    halves of 500 lb go down (3 axles, 9 ft: 42,750 is printed 42,500), and no group carries more
    than a tandem within 8 ft, two single axles, or the gross limit.
    """
    length = Fraction(length_ft).limit_denominator(10**6)
    exact = STEP_LB * (length * axles / (axles - 1) + 12 * axles + 36)
    nearest = ceil(exact / STEP_LB - Fraction(1, 2)) * STEP_LB
    caps = [GROSS_LB]
    if axles == 2:
        caps.append(2 * SINGLE_LB)
    if length <= CLOSE_FT:
        caps.append(TANDEM_LB)
    nearest = min(nearest, *caps)
    return Figure(
        nearest,
        "lb",
        "23 USC 127, 23 CFR 658.17: bridge formula",
        f"500 x ({length_ft:g} x {axles} / {axles - 1} + 12 x {axles} + 36), nearest 500 lb, exact "
        "halves down; never above two single axles, the tandem within 8 ft and the gross mass",
        "axles",
        (("exact_lb", float(exact)),),
    )


def vehicle_class(gvwr_lb: float) -> int:
    """Return the US class of a vehicle by its gross rating."""
    return next((n for n, most in enumerate(CLASS_LB, 1) if gvwr_lb <= most), len(CLASS_LB) + 1)


def is_heavy_straight(gvwr_lb: float) -> bool:
    """Return whether a straight vehicle is in licence group B (49 CFR 383.91(a)(2))."""
    return ceil(gvwr_lb) >= GROUP_B_LB


@dataclass(frozen=True, slots=True)
class Tractor:
    """Scale ticket of a tractor with a sliding tandem, any one unit of mass."""

    steer: float
    drives: float
    trailer: float

    @property
    def gross(self) -> float:
        """Return the sum of the three."""
        return self.steer + self.drives + self.trailer

    def slid(self, holes: int, per_hole: float) -> Tractor:
        """Return the ticket after the tandem slid so many holes towards the tractor.

        Each hole moves `per_hole` from the drives to the trailer; negative holes move it back.
        """
        moved = holes * per_hole
        return Tractor(self.steer, self.drives - moved, self.trailer + moved)


def holes_to_slide(over: float, per_hole: float) -> int:
    """Return the holes that take at least this much off an axle group."""
    return ceil(over / per_hole - 1e-9)
