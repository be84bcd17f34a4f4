"""Fields of the questions by EN 12195-1, and the factors that follow from edition and direction."""

from __future__ import annotations

from typing import Final, cast

from server.checks.fields import Field, Given, option
from server.core.securing import rules_en
from server.core.securing.rules_en import EDITIONS, TopOver

MASS: Final = Field("mass", "mass", "mass of the cargo or of one section", above=0)
MU: Final = Field(
    "friction",
    "number",
    "static friction of the table, a share such as 0.45 and no percent",
    aliases=("mu", "mu_static"),
    least=0,
    most=1,
)
EDITION: Final = option(
    "edition", "choice", "which edition counts", default="2010", choices=tuple(EDITIONS)
)
DIRECTION: Final = option(
    "direction",
    "choice",
    "which way the cargo would go; never guessed",
    choices=("forward", "sideways", "rearward"),
)
SHARE: Final = option(
    "acceleration",
    "number",
    "share of gravity such as 0.8, no percent; else by edition and direction",
    aliases=("c", "cx", "cy"),
    above=0,
    most=1,
)
EXCESS: Final = option(
    "excess", "number", "factor fs; else by edition and direction", aliases=("fs",), least=1, most=2
)
LEGS: Final = option(
    "legs", "number", "legs that count, k; else by edition", aliases=("k",), above=0, most=2
)
ANGLE: Final = option(
    "angle", "angle", "to the floor", default=90, unit="deg", aliases=("alpha",), least=0, most=90
)
STF: Final = Field(
    "pretension",
    "force",
    "STF by the label, one leg",
    aliases=("STF", "stf", "pretension_each_leg"),
    above=0,
)
LC: Final = Field(
    "capacity", "force", "LC by the label, straight pull", aliases=("LC", "lc"), above=0
)
ACROSS: Final = option(
    "across",
    "angle",
    "between its trace on the floor and the way held",
    default=0,
    unit="deg",
    least=0,
    most=90,
)
COUNT: Final = option("sections", "count", "equal sections, each lashed apart", default=1, least=1)


def edition_of(given: Given) -> rules_en.Edition:
    """Return the edition of a question."""
    return EDITIONS[cast("rules_en.EditionName", given["edition"])]


def direction_of(given: Given) -> rules_en.Direction:
    """Return the direction asked about; BadInput where it would have to be guessed."""
    if not given.has("direction"):
        raise given.trouble("direction", "forward, sideways or rearward (never guessed)")
    return cast("rules_en.Direction", given["direction"])


def share_of(given: Given) -> float:
    """Return the acceleration against sliding, given or by the edition."""
    if given.has("acceleration"):
        return float(given["acceleration"])
    return rules_en.acceleration(edition_of(given), direction_of(given))


def excess_of(given: Given) -> float:
    """Return factor fs, given or by edition and direction, which differ forward since 2010."""
    edition = edition_of(given)
    if given.has("excess"):
        return float(given["excess"])
    if edition.excess == edition.excess_forward:
        return edition.excess
    return edition.excess_forward if direction_of(given) == "forward" else edition.excess


def lashing_of(given: Given) -> TopOver:
    """Return the lashing over the top, factors given or by the edition."""
    edition = edition_of(given)
    return TopOver(
        given.to("pretension", "N"),
        given.to("angle", "deg"),
        given["legs"] if given.has("legs") else edition.legs,
        excess_of(given),
    )
