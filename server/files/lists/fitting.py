"""Which units and columns give cases of a likely size and density, where nothing states them."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import Final

from server.core.base.measures import G_PER, MM_PER, Amount, read_length, read_mass
from server.files.lists.table import Table, text_of_cell

# The longest side of a case and its density, as medians and spreads of their logarithms; common
# practice, no source. A centimetre read as an inch changes the density sixteen times.
LONGEST_MM: Final = (1_000.0, 0.45)
DENSITY_KG_M3: Final = (190.0, 0.75)
MOST_KINDS: Final = 60
LEAST_MM, MOST_MM = 50, 5_000  # sides of a case; beyond them a unit or a digit is wrong
UNLIKE_PAIR: Final = 3.0  # kilograms with inches, pounds with metric sides
LENGTHS: Final = ("in", "cm", "mm", "m")
MASSES: Final = ("lb", "kg")

Side = tuple[float, str | None]
Kind = tuple[Side, Side, Side, float | None]


def likelihood(kinds: Sequence[Kind], length: str, mass: str) -> float:
    """Return how likely cases of these numbers are in these units, as a logarithm a case."""
    if not kinds:
        return 0.0
    total = 0.0
    for a, b, c, weight in kinds:
        millimetres = [value * float(MM_PER[unit or length]) for value, unit in (a, b, c)]
        total += _normal(max(millimetres), LONGEST_MM)
        if min(millimetres) < 60:
            total -= 4
        if weight:
            volume = math.prod(millimetres) / 1e9
            total += _normal(weight * float(G_PER[mass]) / 1000 / volume, DENSITY_KG_M3)
    unlike = (mass == "lb") != (length == "in")
    return total / len(kinds) - (UNLIKE_PAIR / 3 if unlike else 0)


def impossible(kinds: Sequence[Kind], length: str) -> bool:
    """Return whether no case of these numbers can be, were they in this unit."""
    return all(
        any(not LEAST_MM <= value * float(MM_PER[unit or length]) <= MOST_MM for value, unit in one)
        for one in (kind[:3] for kind in kinds)
    )


def _normal(value: float, median_spread: tuple[float, float]) -> float:
    median, spread = median_spread
    return -0.5 * min(6.0, abs(math.log(value / median) / spread)) ** 2


def best_units(
    kinds: Sequence[Kind], lengths: Iterable[str], masses: Iterable[str]
) -> tuple[str, str, float]:
    """Return the likeliest units of length and mass, and by how much the length leads."""
    masses = tuple(masses)
    scores = {
        (length, mass): likelihood(kinds, length, mass) for length in lengths for mass in masses
    }
    best = max(scores, key=lambda pair: scores[pair])
    others = [score for pair, score in scores.items() if pair[0] != best[0]]
    return best[0], best[1], scores[best] - max(others, default=-math.inf)


def best_sides(
    table: Table, runs: Sequence[tuple[int, int, int]], masses: Sequence[int]
) -> tuple[tuple[int, int, int], int | None] | None:
    """Return the three columns that read as sides, and the one that reads as their mass."""
    best, score = None, -math.inf
    for run in runs:
        for mass in [*(m for m in masses if m not in run), None]:
            kinds = _kinds(table, run, mass)
            if not kinds:
                continue
            fit = max(likelihood(kinds, u, m) for u in LENGTHS for m in MASSES)
            fit += 0.3 if mass is not None else -3
            fit += 0.2 if mass is not None and mass > run[2] else 0
            if fit > score:
                best, score = (run, mass), fit
    return best


def _kinds(table: Table, run: tuple[int, int, int], mass: int | None) -> list[Kind]:
    found: dict[Kind, None] = {}
    for _, row in table.rows:
        texts = [text_of_cell(row[p]) if p < len(row) else "" for p in run]
        sides = [read_length(text, "cm") for text in texts]
        if not all(isinstance(one, Amount) and one.unit is None and one.value > 0 for one in sides):
            continue
        weight = (
            read_mass(text_of_cell(row[mass]), "kg")
            if mass is not None and mass < len(row)
            else None
        )
        value = float(weight.value) if isinstance(weight, Amount) and weight.value > 0 else None
        a, b, c = ((float(one.value), None) for one in sides if isinstance(one, Amount))
        found[(a, b, c, value)] = None
        if len(found) >= MOST_KINDS:
            break
    return list(found)
