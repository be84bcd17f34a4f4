"""US cargo securement rules, 49 CFR 393.100 to 393.136: number and strength of tiedowns.

Masses are grams and lengths micrometres, whole or exact fractions, so that the limits of the rule
(5 ft, 1,100 lb) stay inclusive to the last digit.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil
from typing import Final, Literal

from server.core.base.figure import Figure, Number, count_words, length_words, mass_words
from server.core.base.units import Units

FOOT_UM: Final = 304_800
POUND_G: Final = Fraction(45_359_237, 100_000)
SHORT_UM: Final = 5 * FOOT_UM  # 49 CFR 393.110(b)(1)
STRETCH_UM: Final = 10 * FOOT_UM  # 49 CFR 393.110(b)(2), (b)(3), (c)
LIGHT_G: Final = 1_100 * POUND_G  # 49 CFR 393.110(b)(1)

NUMBER_SOURCE: Final = "49 CFR 393.110(b)-(c)"
STRENGTH_SOURCE: Final = "49 CFR 393.106(d)"

Route = Literal["over", "direct", "same_side"]
# Share of a tiedown's working load limit that counts, 49 CFR 393.106(d)(1)-(3): from an anchor of
# the vehicle over the cargo to an anchor on the other side counts whole; to the cargo itself or
# back to the same side half.
CREDIT: Final[dict[Route, Fraction]] = {
    "over": Fraction(1),
    "direct": Fraction(1, 2),
    "same_side": Fraction(1, 2),
}


def number_of_tiedowns(
    length_um: Number, mass_g: Number, *, blocked: bool, units: Units | None = None
) -> Figure:
    """Return the least number of tiedowns by length, mass and blocking (393.110)."""
    units = units or Units()
    size = f"{mass_words(mass_g, units)} and is {length_words(length_um, units)} long"
    if blocked:
        count = max(1, ceil(Fraction(length_um) / STRETCH_UM))
        why = "it is blocked from moving forward: one for each 10 ft or part of it"
    elif length_um > STRETCH_UM:
        count = 2 + ceil(Fraction(length_um - STRETCH_UM) / STRETCH_UM)
        why = "nothing ahead blocks it: two, and one more for each further 10 ft or part of it"
    elif length_um > SHORT_UM or mass_g > LIGHT_G:
        count = 2
        over = "longer than 5 ft" if length_um > SHORT_UM else "heavier than 1,100 lb"
        why = f"nothing ahead blocks it and it is {over}"
    else:
        count = 1
        why = "nothing ahead blocks it, and it is within 5 ft and 1,100 lb"
    return Figure(
        count, "tiedowns", NUMBER_SOURCE, f"{count} because it weighs {size}, and {why}", "straps"
    )


@dataclass(frozen=True, slots=True)
class Tiedowns:
    """Some equal tiedowns on one route; the working load limit of one in grams of force."""

    count: int
    wll_g: Number
    route: Route = "over"


def aggregate_wll_g(tiedowns: tuple[Tiedowns, ...]) -> Fraction:
    """Return the aggregate working load limit in grams (393.106(d))."""
    return sum((Fraction(t.wll_g) * t.count * CREDIT[t.route] for t in tiedowns), start=Fraction(0))


def tiedowns_for_strength(
    mass_g: Number, wll_g: Number, route: Route = "over", units: Units | None = None
) -> Figure:
    """Return how many tiedowns bring the aggregate up to half the mass (393.106(d))."""
    units = units or Units()
    each = Fraction(wll_g) * CREDIT[route]
    count = ceil(Fraction(mass_g) / 2 / each)
    share = "" if route == "over" else ", of which half counts on this route"
    derivation = (
        f"{count} because half of {mass_words(mass_g, units)} is "
        f"{mass_words(Fraction(mass_g) / 2, units)} and one tiedown has a working load limit of "
        f"{mass_words(wll_g, units)}{share}"
    )
    return Figure(count, "tiedowns", STRENGTH_SOURCE, derivation, "straps")


def tiedowns_needed(
    length_um: Number, mass_g: Number, wll_g: Number, *, blocked: bool, units: Units | None = None
) -> Figure:
    """Return the larger of number and strength for tiedowns that run over or across the cargo."""
    number = number_of_tiedowns(length_um, mass_g, blocked=blocked, units=units)
    strength = tiedowns_for_strength(mass_g, wll_g, units=units)
    governs = max((number, strength), key=Figure.whole)
    return Figure(
        governs.value,
        "tiedowns",
        f"{NUMBER_SOURCE}; {STRENGTH_SOURCE}",
        governs.derivation,
        "straps",
        (("by_number", number.value), ("by_strength", strength.value)),
    )


def describe_tiedowns(tiedowns: tuple[Tiedowns, ...], units: Units) -> Figure:
    """Return the aggregate working load limit as a figure, with the heaviest article it holds."""
    total = aggregate_wll_g(tiedowns)
    parts = " and ".join(
        f"{count_words(t.count, 'tiedown')} of {mass_words(t.wll_g, units)} "
        f"({'whole' if CREDIT[t.route] == 1 else 'half'} counts)"
        for t in tiedowns
    )
    return Figure(
        float(total),
        "g",
        STRENGTH_SOURCE,
        f"{mass_words(total, units)}: {parts}; half the mass of the article may be no more",
        "straps",
        (("greatest_mass_g", float(2 * total)),),
    )
