"""Quantity: what a limit hangs on, as an interval with the ground on which it is known.

A limit is checked at the unfavourable end, and a sum is as well known as its worst part: unknown is
never zero. The order of grounds is the order in which they are trusted.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final, Literal

Ground = Literal["weighed", "stated", "guessed", "assumed", "unknown"]
# Trusted most first; `guessed`: the chief answers for it, `assumed`: by kind and size.
TRUST: Final[tuple[Ground, ...]] = ("weighed", "stated", "guessed", "assumed", "unknown")


@dataclass(frozen=True, slots=True)
class Quantity:
    """A whole number between `low` and `high`; `high` None: nothing bounds it."""

    low: int
    high: int | None
    ground: Ground
    when: str | None = None

    def __post_init__(self) -> None:
        """Refuse an interval that ends before it begins."""
        if self.high is not None and self.low > self.high:
            raise ValueError(f"quantity: expected low of at most {self.high}, got {self.low}")

    @property
    def known(self) -> bool:
        """Return whether somebody weighed, stated or answers for it."""
        return TRUST.index(self.ground) <= TRUST.index("guessed")

    def __add__(self, other: Quantity) -> Quantity:
        """Return the sum, on the less trusted of both grounds."""
        high = None if self.high is None or other.high is None else self.high + other.high
        return Quantity(self.low + other.low, high, _worse(self.ground, other.ground))


NOTHING: Final = Quantity(0, 0, "weighed")


def exactly(value: int, ground: Ground = "stated", when: str | None = None) -> Quantity:
    """Return a quantity that is known as one number."""
    return Quantity(value, value, ground, when)


def total(parts: Iterable[Quantity]) -> Quantity:
    """Return the sum of quantities; of nothing it is zero, and known."""
    found = NOTHING
    for part in parts:
        found += part
    return found


def _worse(one: Ground, other: Ground) -> Ground:
    return max(one, other, key=TRUST.index)
