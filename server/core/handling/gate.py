"""Lift gate: which cases of a load are over its rating or its platform, before one is rolled on.

The rating is the maker's, on the gate's own plate; nothing here says that a gate is safe.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from server.core.base.figure import Figure, count_words, mass_words
from server.core.base.units import Units, from_um
from server.core.handling.ramp import PERSON_G
from server.core.shop.case import Case
from server.core.shop.vehicle import LiftGate

SOURCE: Final = "the rating on the lift gate's own plate and its platform, as entered for it"
READ_IT: Final = (
    "read the plate at the gate: case and operator together, and the rating holds for a load "
    "placed as its maker says; one case at a time, brakes on, nobody rides with it"
)
MOST_NAMED: Final = 6


def gate_figure(gate: LiftGate, cases: Iterable[Case], units: Units | None = None) -> Figure:
    """Return how many cases the gate is not known to take, and which; None: rating not known."""
    units = units or Units()
    every = list(cases)
    rating = gate.rating_g
    heavy = [] if rating is None else [one for one in every if one.mass_g + PERSON_G > rating]
    heavy = [one for one in heavy if one.mass_g]
    wide = [one for one in every if not stands_on(gate, one)]
    unweighed = [one for one in every if one.mass_g == 0]
    words = [f"{len(heavy)} over the rating" if heavy else "none over the rating"]
    if rating is None:
        words = ["no rating is known"]
    else:
        words[0] += f" of {mass_words(rating, units)}{_named(heavy, units)}"
    if wide:
        deep, across = (
            f"{from_um(side, units.length):.5g} {units.length}"
            for side in (gate.deep_um, gate.wide_um)
        )
        words.append(
            f"{count_words(len(wide), 'case')} larger than its platform of {deep} by {across}"
            f"{_named(wide, units, masses=False)}"
        )
    if unweighed:
        words.append(f"{count_words(len(unweighed), 'case')} never weighed: not known")
    words.append(READ_IT)
    doubtful = {one.code for one in (*heavy, *wide, *unweighed)}
    parts = (
        ("rating_g", rating),
        ("over", tuple(one.code for one in heavy)),
        ("larger", tuple(one.code for one in wide)),
    )
    value = None if rating is None else len(doubtful)
    return Figure(value, "cases", SOURCE, "; ".join(words), "planning", parts)


def allowed_at_g(rating_g: float, centre_um: float, at_um: float) -> float:
    """Return what a gate carries with the load's centre further out than its plate says.

    Equal moment (principle of EN 1756-1, from memory); nearer in, never more than the rating.
    """
    return rating_g * min(1.0, centre_um / at_um)


def takes(gate: LiftGate, case: Case) -> bool:
    """Return whether a gate is not known to fail a case with its operator on the platform.

    The operator may ride where the gate's maker allows it; the worst is counted (PERSON_G).
    """
    if not stands_on(gate, case):
        return False
    return gate.rating_g is None or not case.mass_g or case.mass_g + PERSON_G <= gate.rating_g


def stands_on(gate: LiftGate, case: Case) -> bool:
    """Return whether a case stands wholly on the platform, one way round or the other."""
    sides = sorted((case.length_um, case.width_um))
    return sides[0] <= min(gate.deep_um, gate.wide_um) and sides[1] <= max(
        gate.deep_um, gate.wide_um
    )


def _named(cases: list[Case], units: Units, *, masses: bool = True) -> str:
    if not cases:
        return ""
    told = [
        f"{one.code}: {mass_words(one.mass_g, units)}" if masses else one.code
        for one in cases[:MOST_NAMED]
    ]
    more = f" and {len(cases) - MOST_NAMED} more" if len(cases) > MOST_NAMED else ""
    return f" ({', '.join(told)}{more})"
