"""Revised NIOSH lifting equation, DHHS (NIOSH) 94-110, revised 9/2021.

RWL = LC HM VM DM AM FM CM. Two sets of constants, US (inches, pounds) and metric (centimetres,
kilograms); they are not exact conversions of each other, so a lift is rated in the one it was
measured in. A lift by a team, with one hand, seated or over 8 hours is outside the equation.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import prod
from typing import Final, Literal

from server.core.handling.niosh_frequency import Duration, frequency_multiplier

SOURCE: Final = "NIOSH lifting equation, DHHS 94-110 (rev. 9/2021)"

Coupling = Literal["good", "fair", "poor"]
System = Literal["us", "metric"]


@dataclass(frozen=True, slots=True)
class Constants:
    """The constants of one set, p. 7 to 12 of the manual; lengths in its own unit."""

    load: float
    horizontal: float
    horizontal_most: float
    knuckle: float
    per_height: float
    height_most: float
    travel_add: float
    travel_least: float
    travel_most: float
    estimate_low: float
    estimate_high: float
    estimate_at: float
    length_unit: str
    mass_unit: str


CONSTANTS: Final[dict[System, Constants]] = {
    "us": Constants(
        load=51,
        horizontal=10,
        horizontal_most=25,
        knuckle=30,
        per_height=0.0075,
        height_most=70,
        travel_add=1.8,
        travel_least=10,
        travel_most=70,
        estimate_low=10,
        estimate_high=8,
        estimate_at=10,
        length_unit="in",
        mass_unit="lb",
    ),
    "metric": Constants(
        load=23,
        horizontal=25,
        horizontal_most=63,
        knuckle=75,
        per_height=0.003,
        height_most=175,
        travel_add=4.5,
        travel_least=25,
        travel_most=175,
        estimate_low=25,
        estimate_high=20,
        estimate_at=25,
        length_unit="cm",
        mass_unit="kg",
    ),
}


@dataclass(frozen=True, slots=True)
class Lift:
    """One lift rated at one end: distances in the unit of its set, angle in degrees.

    `horizontal`: hands ahead of the ankles; `vertical`: hands above the floor at the rated end;
    `origin`: hands above the floor where the lift begins, which the frequency table asks for.
    `load_constant` None: the set's own.
    """

    horizontal: float
    vertical: float
    travel: float
    asymmetry_deg: float = 0.0
    per_minute: float = 0.2
    duration: Duration = "short"
    coupling: Coupling = "good"
    system: System = "us"
    origin: float | None = None
    load_constant: float | None = None

    @property
    def constants(self) -> Constants:
        """Return the constants of the set in which the lift was measured."""
        return CONSTANTS[self.system]


@dataclass(frozen=True, slots=True)
class Multipliers:
    """The six multipliers in the order of the worksheet."""

    horizontal: float
    vertical: float
    distance: float
    asymmetric: float
    frequency: float
    coupling: float

    def each(self) -> tuple[float, ...]:
        """Return HM, VM, DM, AM, FM, CM."""
        return (
            self.horizontal,
            self.vertical,
            self.distance,
            self.asymmetric,
            self.frequency,
            self.coupling,
        )

    def rounded(self) -> Multipliers:
        """Return them to two decimals, as the manual's worksheets carry them."""
        return Multipliers(*(round(value + 1e-9, 2) for value in self.each()))


def horizontal_multiplier(lift: Lift) -> float:
    """Return HM: 10/H or 25/H; 1 up to that distance, 0 beyond the reach."""
    c = lift.constants
    return (
        0.0
        if lift.horizontal > c.horizontal_most
        else c.horizontal / max(lift.horizontal, c.horizontal)
    )


def vertical_multiplier(lift: Lift) -> float:
    """Return VM: less by 0.0075 for each inch, 0.003 for each centimetre, from knuckle height."""
    c = lift.constants
    if not 0 <= lift.vertical <= c.height_most:
        return 0.0
    return 1 - c.per_height * abs(lift.vertical - c.knuckle)


def distance_multiplier(lift: Lift) -> float:
    """Return DM: 0.82 + 1.8/D or 4.5/D; 1 for short travel."""
    c = lift.constants
    if lift.travel > c.travel_most:
        return 0.0
    return min(1.0, 0.82 + c.travel_add / max(lift.travel, c.travel_least))


def asymmetric_multiplier(lift: Lift) -> float:
    """Return AM: 1 - 0.0032 A, 0 beyond 135 degrees."""
    return 0.0 if lift.asymmetry_deg > 135 else 1 - 0.0032 * lift.asymmetry_deg


def coupling_multiplier(lift: Lift) -> float:
    """Return CM of table 7: fair is 0.95 below knuckle height, poor 0.90 at any."""
    if lift.coupling == "poor":
        return 0.90
    low = lift.vertical < lift.constants.knuckle
    return 0.95 if lift.coupling == "fair" and low else 1.0


def multipliers(lift: Lift) -> Multipliers:
    """Return the six multipliers in full precision."""
    origin = lift.vertical if lift.origin is None else lift.origin
    return Multipliers(
        horizontal_multiplier(lift),
        vertical_multiplier(lift),
        distance_multiplier(lift),
        asymmetric_multiplier(lift),
        frequency_multiplier(lift.per_minute, lift.duration, high=origin >= lift.constants.knuckle),
        coupling_multiplier(lift),
    )


def recommended_limit(lift: Lift, *, worksheet: bool = False) -> float:
    """Return RWL in the mass unit of the set; worksheet: with two-decimal multipliers."""
    load = lift.constants.load if lift.load_constant is None else lift.load_constant
    found = multipliers(lift)
    return limit_of(load, (found.rounded() if worksheet else found).each())


def limit_of(load_constant: float, factors: Iterable[float]) -> float:
    """Return the product of a load constant and its multipliers, in the unit of the constant."""
    return load_constant * prod(factors)


def lifting_index(load: float, limit: float) -> float:
    """Return LI = load / RWL; infinite where the lift is outside the limits of the equation."""
    return load / limit if limit else float("inf")


def band(index: float) -> str:
    """Say what the manual says of an index: design goal up to 1, raised risk above, for nearly all.

    (p. 33: above 1 raised for some, above 3 for many.)
    """
    if index <= 1:
        return "within the design goal"
    return "raised risk for some people" if index <= 3 else "raised risk for nearly all people"


def estimate_horizontal(width: float, vertical: float, system: System = "us") -> float:
    """Return H from the container's width where it could not be measured (1.3.1.1, p. 8)."""
    c = CONSTANTS[system]
    return (c.estimate_high if vertical >= c.estimate_at else c.estimate_low) + width / 2
