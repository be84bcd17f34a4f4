"""Restraint outside 49 CFR and EN 12195-1: what a load must be held with, by country.

Shares of the load's weight in each direction alone. The same row needs 25 % more forward under the
UK code than in Australia, and Canada allows no part above its working load limit.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil
from typing import Final, Literal

from server.core.base.figure import Figure, Number

Country = Literal["uk", "australia", "canada"]
Direction = Literal["forward", "rearward", "sideways", "vertical"]


@dataclass(frozen=True, slots=True)
class Performance:
    """Shares of gravity by direction; `vertical` None: the text gives none."""

    source: str
    judged_at: str
    forward: float
    rearward: float
    sideways: float
    vertical: float | None


PERFORMANCE: Final[dict[Country, Performance]] = {
    "uk": Performance(
        "UK DfT code of practice, safety of loads on vehicles, 3rd ed. 2002, 2.5 (replaced online "
        "since, the new text was not seen)",
        "the combined strength of the restraint",
        forward=1.0,
        rearward=0.5,
        sideways=0.5,
        vertical=None,
    ),
    "australia": Performance(
        "Australian Load Restraint Guide, performance standards (2nd ed. 2004, 3rd ed. 2018)",
        "each direction alone",
        forward=0.8,
        rearward=0.5,
        sideways=0.5,
        vertical=0.2,
    ),
    "canada": Performance(
        "Canada National Safety Code standard 10, as in Quebec r. 30 s. 3",
        "no part above its working load limit",
        forward=0.8,
        rearward=0.5,
        sideways=0.5,
        vertical=0.2,
    ),
}


def restraint(weight: float, unit: str, country: Country, direction: Direction) -> Figure:
    """Return the force that restraint must hold; value None where the text gives no share."""
    rules = PERFORMANCE[country]
    share: float | None = getattr(rules, direction)
    if share is None:
        why = f"no share {direction} in this text"
        return Figure(None, unit, rules.source, why, "straps")
    why = f"{share:g} of {weight:,g} {unit} {direction}, judged at {rules.judged_at}"
    return Figure(weight * share, unit, rules.source, why, "straps", (("share", share),))


# NSC 10 section 22, from memory: metric lengths and mass of the number rule.
SHORT_UM: Final = 1_520_000
STRETCH_UM: Final = 3_040_000
LIGHT_G: Final = 500_000
NUMBER_SOURCE: Final = "Canada National Safety Code standard 10, s. 22 (from memory)"


def tiedowns(length_um: Number, mass_g: Number, *, blocked: bool) -> Figure:
    """Return the least number of tiedowns by the Canadian standard."""
    stretches = ceil(Fraction(length_um) / STRETCH_UM)
    if blocked:
        count, why = max(1, stretches), "blocked: one for each 3.04 m or part of it"
    elif length_um > STRETCH_UM:
        count = 1 + stretches
        why = "not blocked: two, and one more for each further 3.04 m or part of it"
    elif length_um > SHORT_UM or mass_g > LIGHT_G:
        count, why = 2, "not blocked, and over 1.52 m or 500 kg"
    else:
        count, why = 1, "not blocked, within 1.52 m and 500 kg"
    half = float(Fraction(mass_g) / 2000)
    parts = (("aggregate_min_kg", half),)
    say = f"{count}: {why}; working load limits add up to half the mass, {half:,g} kg"
    return Figure(count, "tiedowns", NUMBER_SOURCE, say, "straps", parts)
