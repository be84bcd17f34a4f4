"""Questions on team lifts: what a team lifts, how many lift a mass, shares of two people."""

from __future__ import annotations

from math import ceil
from typing import Final

from server.checks.fields import Given, option
from server.checks.method import Method
from server.core.base.figure import Figure
from server.core.base.units import Units
from server.core.handling import team

REACHES: Final = ("close", "arms_out")


def _mass_units(given: Given, name: str) -> Units:
    return Units(mass="lb" if given.unit(name) == "lb" else "kg")


def _team(given: Given) -> Figure:
    if given.has("people"):
        return _capacity(given)
    if not given.has("mass"):
        raise given.trouble("people", "people (how much do they lift?) or mass (how many lift it?)")
    for name in ("from_height", "to_height"):
        if not given.has(name):
            raise given.trouble(name, "the height of the hands at both ends (never guessed)")
    return team.lift_figure(
        team.LiftTask(
            ceil(given.exact("mass")),
            ceil(given.exact("from_height")),
            ceil(given.exact("to_height")),
            "men" if given["hands"] == "men" else "mixed",
            given["reach"],
            given.to("each", "kg") if given.has("each") else None,
        ),
        _mass_units(given, "mass"),
    )


def _capacity(given: Given) -> Figure:
    if not given.has("each"):
        raise given.trouble("each", "what each of them lifts alone (never guessed)")
    people, unit, rule = given["people"], given.unit("each"), given["rule"]
    each = given.to("each", unit)
    if rule == "mil-std-1472f":
        value: float | None = team.mil_capacity(people, each)
        source, why = team.MIL_SOURCE, "double for two, 75 % of one more for each further"
    elif rule == "en-1005-2":
        value = people * each * (team.TWO_PEOPLE if people > 1 else 1.0) if people <= 2 else None
        source = "EN 1005-2 and ISO 11228-1 practice (reading from memory)"
        why = "0.85 of each one's share for two people; nothing for more"
    elif rule == "measured":
        value = people * each * team.MEASURED_SHARES[given["group"]]
        source = "team lifting study of soldiers (abstract), one lift, upper bound"
        why = f"{team.MEASURED_SHARES[given['group']]:.1%} of the sum, {given['group']}"
    else:
        value = team.hse_capacity(people, each)
        source, why = team.HSE_SOURCE, "two thirds of the sum for two, half for three"
        if value is None:
            why = f"no figure above three; more than {team.MOST_IN_A_TEAM} are unlikely to work"
    if people > team.MOST_IN_A_TEAM:
        value = None
        why = f"more than {team.MOST_IN_A_TEAM} people are unlikely to work as a team (HSE L23)"
    parts = (("most_people", team.MOST_IN_A_TEAM), ("kilograms", _kilograms(given, value)))
    return Figure(value, unit, source, f"{people} x {each:g} {unit}: {why}", "lift", parts)


def _kilograms(given: Given, value: float | None) -> float | None:
    if value is None:
        return None
    return value / given.to("each", given.unit("each")) * given.to("each", "kg")


def _shares(given: Given) -> Figure:
    value = team.ONE_HAND if given["hands"] == 1 else team.TWO_PEOPLE
    why = f"{value:g} on the limit {'of one hand' if given['hands'] == 1 else 'of two people'}"
    return Figure(value, "", "EN 1005-2 and ISO 11228-1 practice", why, "lift")


METHODS: Final = (
    Method(
        "team",
        "what a team lifts (people, each), or how many lift a mass",
        (
            option("people", "count", "how many", least=1),
            option(
                "each",
                "mass",
                "what each lifts alone; with mass: else by the zone of the hands",
                aliases=("one_person",),
                above=0,
            ),
            option("mass", "mass", "load to be lifted", aliases=("load",), above=0),
            option("from_height", "length", "hands at the start of the lift", least=0),
            option("to_height", "length", "hands at its end", least=0),
            option("reach", "choice", "hands at its end", default="close", choices=REACHES),
            option("hands", "choice", "who lifts", default="mixed", choices=("men", "mixed")),
            option(
                "rule",
                "choice",
                "whose figures, with people",
                default="hse",
                choices=("hse", "mil-std-1472f", "en-1005-2", "measured"),
            ),
            option(
                "group",
                "choice",
                "with measured",
                default="mixed",
                choices=("men", "women", "mixed"),
            ),
        ),
        _team,
        {"people": 3, "each_kg": 25},
    ),
    Method(
        "share",
        "multiplier for a lift by two people (hands 2) or with one hand (hands 1)",
        (option("hands", "count", "1: one hand; 2: two people", default=2, least=1, most=2),),
        _shares,
        {"hands": 2},
    ),
)
