"""Expected load time of a plan from the shop's own nights: minutes a case, with a range.

The range holds the middle four fifths of the nights; it is tested by holding each night back and
asking whether the others would have foretold it. Below ten nights no range is worth much, and the
answer says so.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

ENOUGH: Final = 10
SHARE: Final = 0.8  # of the nights lie in the range
MOST_MINUTES: Final = 24 * 60.0  # longer is a clock that was wrong, not a move


@dataclass(frozen=True, slots=True)
class Timed:
    """One vehicle in one move of one night: minutes for so many cases."""

    minutes: float
    cases: int
    move: str = "shop_load"


@dataclass(frozen=True, slots=True)
class Expected:
    """Minutes for a load: the middle, and a range; `nights` it is drawn from.

    `held_back`: how many nights that were held back lay inside the range that the others give.
    """

    minutes: float
    low: float
    high: float
    nights: int
    held_back: int

    @property
    def enough(self) -> bool:
        """Return whether there are ten nights or more."""
        return self.nights >= ENOUGH


def expected(nights: Sequence[Timed], cases: int, move: str) -> Expected | None:
    """Return the expected minutes for a move of so many cases; None without any night."""
    rates = sorted(
        one.minutes / one.cases
        for one in nights
        if one.move == move and one.cases > 0 and 0 < one.minutes < MOST_MINUTES
    )
    if not rates or cases < 1:
        return None
    low, high = _range(rates)
    held = 0
    for number, rate in enumerate(rates):
        others = rates[:number] + rates[number + 1 :]
        if others:
            least, most = _range(others)
            held += least <= rate <= most
    middle = _quantile(rates, 0.5)
    return Expected(middle * cases, low * cases, high * cases, len(rates), held)


def _range(rates: Sequence[float]) -> tuple[float, float]:
    side = (1 - SHARE) / 2
    return _quantile(rates, side), _quantile(rates, 1 - side)


def _quantile(ordered: Sequence[float], share: float) -> float:
    """Return a quantile by linear interpolation between neighbours (Hyndman and Fan's type 7)."""
    at = share * (len(ordered) - 1)
    below = int(at)
    above = min(below + 1, len(ordered) - 1)
    return ordered[below] + (at - below) * (ordered[above] - ordered[below])
