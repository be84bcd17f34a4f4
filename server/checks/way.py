"""The way a case goes, as questions give it: deck and ramp, 1 in so many, degrees or percent."""

from __future__ import annotations

from math import atan, radians, sin
from typing import Final

from server.checks.fields import Field, Given, option
from server.core.handling.slope import FLAT, ROLLING_GOOD, Slope

STEEPEST_RUN: Final = 0.01
FLATTEST_RUN: Final = 1e9
DECK: Final = option(
    "deck_height", "length", "height of the deck", aliases=("deck", "rise"), least=0
)
RAMP: Final = option(
    "ramp_length", "length", "length along the slope", aliases=("ramp", "length"), above=0
)
WAY_FIELDS: Final = (
    DECK,
    RAMP,
    option(
        "one_in", "number", "level run for a rise of 1, e.g. 12 for 1 in 12", least=STEEPEST_RUN
    ),
    option("slope", "text", "the same as text, e.g. 1:12"),
    option("angle", "angle", "to the level", aliases=("slope_angle", "deg"), least=0, most=89),
    option("percent", "number", "grade in percent of the level run", least=0, most=10_000),
)
ROLLING: Final = option(
    "rolling",
    "number",
    "rolling force as a share of the load: 0.02 good floor to 0.1 uneven",
    default=ROLLING_GOOD,
    aliases=("Crr", "share"),
    least=0,
    most=1,
)
MASS: Final = Field("mass", "mass", "mass of the case", aliases=("load", "weight", "W"), above=0)


def ramp_of(given: Given) -> Slope:
    """Return the slope of a ramp, which is never guessed: a level way is said as percent 0."""
    if not any(given.has(one.name) for one in WAY_FIELDS):
        ways = "deck_height and ramp_length, or angle, percent (0: level), one_in or slope"
        raise given.trouble("deck_height", ways)
    return slope_of(given)


def slope_of(given: Given) -> Slope:
    """Return the slope of a question; flat where none is given, a complaint where two are."""
    names = [n for n in ("one_in", "slope", "angle", "percent") if given.has(n)]
    deck = given.has("deck_height") or given.has("ramp_length")
    if len(names) + deck > 1:
        raise given.trouble((*names, "deck_height")[0], "one way of saying the slope, not several")
    if deck:
        return _deck(given)
    if not names:
        return FLAT
    if names[0] == "angle":
        return Slope(sin(radians(given.to("angle", "deg"))), 1.0)
    if names[0] == "percent":
        if 0 < given["percent"] < 1:
            raise given.trouble("percent", "percent, such as 8.33 for 1 in 12 and no share, or 0")
        return Slope(sin(atan(given["percent"] / 100)), 1.0)
    return Slope.one_in(_run(given) if names[0] == "slope" else given["one_in"])


def _deck(given: Given) -> Slope:
    for name in ("deck_height", "ramp_length"):
        if not given.has(name):
            raise given.trouble(name, "deck_height and ramp_length together")
    rise, length = given.to("deck_height", "mm"), given.to("ramp_length", "mm")
    if rise >= length:
        raise given.trouble("ramp_length", "a ramp longer than the deck is high")
    return Slope(rise, length)


def _run(given: Given) -> float:
    head, _, tail = given["slope"].partition(":")
    try:
        rise, run = float(head), float(tail)
    except ValueError:
        raise given.trouble("slope", "a text like 1:12") from None
    if rise <= 0 or not STEEPEST_RUN <= run / rise <= FLATTEST_RUN:
        raise given.trouble("slope", "a text like 1:12")
    return run / rise
