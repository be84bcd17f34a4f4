"""Slope of a ramp from its deck height and its length along the slope, and the force it asks."""

from __future__ import annotations

from dataclasses import dataclass
from math import asin, degrees, sqrt, tan
from typing import Final

# Rolling force as a share of the load: HSE push-pull assessment and INDG143, 2 % on a good flat
# floor and up to 10 % on uneven ground.
ROLLING_GOOD: Final = 0.02
ROLLING_UNEVEN: Final = 0.10


@dataclass(frozen=True, slots=True)
class Slope:
    """Rise over length along the slope, both in the same unit; flat where the rise is zero."""

    rise: float
    length: float

    def __post_init__(self) -> None:
        """Refuse a ramp shorter than it is high."""
        if not 0 <= self.rise < self.length:
            raise ValueError(
                f"slope: expected a length above the rise, got {self.length} for {self.rise}"
            )

    @classmethod
    def one_in(cls, run: float) -> Slope:
        """Return the slope that rises 1 over a level run, as `1 in 12` is said."""
        return cls(1.0, sqrt(1.0 + run * run))

    @property
    def sine(self) -> float:
        """Return the share of the weight that pulls down the slope."""
        return self.rise / self.length

    @property
    def cosine(self) -> float:
        """Return the share of the weight that presses on the slope."""
        return sqrt(1.0 - self.sine * self.sine)

    @property
    def angle_deg(self) -> float:
        """Return the angle to the level."""
        return degrees(asin(self.sine))

    @property
    def run_per_rise(self) -> float:
        """Return the level run for a rise of 1; infinite when flat."""
        return self.cosine / self.sine if self.sine else float("inf")

    @property
    def percent(self) -> float:
        """Return the grade in percent of the level run."""
        return 100.0 * tan(asin(self.sine))

    def force(self, weight: float, rolling: float = ROLLING_GOOD) -> float:
        """Return the push along the slope, W (sin t + Crr cos t), in the unit of the weight."""
        return weight * (self.sine + rolling * self.cosine)

    def words(self) -> str:
        """Say the slope as people read it, e.g. `1 in 3.9 (14.5 degrees)`."""
        if not self.sine:
            return "flat floor"
        return f"1 in {self.run_per_rise:.1f} ({self.angle_deg:.1f} degrees)"


FLAT: Final = Slope(0.0, 1.0)
# What a ramp counts as that is entered no longer than its deck is high: as steep as one can be.
STEEPEST: Final = Slope(0.9999, 1.0)
