"""Mass of a case with its ground: as stated, else assumed by its size; never zero.

A case without a stated mass counts between nothing and what a case of its size weighs at worst.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Final

from server.core.base.quantity import Quantity, exactly, total
from server.core.shop.case import Case

# A packed case weighs no more for its outside volume: feeder trunks of 600 lb in 45 x 30 x 30 in
# come to 410 kg a cubic metre. Common practice, no source; a scale settles it.
DENSEST_KG_M3: Final = 500


def mass_of(case: Case) -> Quantity:
    """Return what a case weighs in grams."""
    if case.mass_g:
        return exactly(case.mass_g)
    return Quantity(0, assumed_most_g(case.length_um, case.width_um, case.height_um), "assumed")


def assumed_most_g(length_um: int, width_um: int, height_um: int) -> int:
    """Return the greatest mass that a case of these outside sides may have, rounded up."""
    litres = length_um * width_um * height_um  # um3
    return -(-litres * DENSEST_KG_M3 // 10**15)


def worst_g(case: Case) -> int:
    """Return the unfavourable end of a case's mass where a heavier one is worse."""
    high = mass_of(case).high
    assert high is not None
    return high


def load_of(cases: Iterable[Case]) -> Quantity:
    """Return what cases weigh together."""
    return total(mass_of(case) for case in cases)


def unweighed(cases: Iterable[Case]) -> tuple[str, ...]:
    """Return the codes of cases whose mass nobody stated, in order."""
    return tuple(sorted(case.code for case in cases if not mass_of(case).known))


def at_worst(case: Case) -> Case:
    """Return a case of no stated mass with the greatest that its size may have."""
    return case if case.mass_g else replace(case, mass_g=worst_g(case))
