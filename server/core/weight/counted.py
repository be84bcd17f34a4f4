"""Masses that a search counts: as stated, else the worst that a case of its size may weigh.

One function for every search: what is planned so holds its upper limits whatever the scale says.
`asks.at_worst` names the limits that may still break, those of a lifted support among them.
"""

from __future__ import annotations

from collections.abc import Iterable

from server.core.shop.case import Case
from server.core.shop.case_mass import worst_g


def counted_masses_g(cases: Iterable[Case]) -> dict[str, int]:
    """Return the mass in grams by which each case counts towards limits, by code."""
    return {case.code: worst_g(case) for case in cases}
