"""One cell as an amount: numbers of a spreadsheet as they are, texts by their column's marks."""

from __future__ import annotations

import re
from collections.abc import Iterable
from fractions import Fraction
from functools import lru_cache
from typing import Final

from server.core.base.measures import Amount, Decimal, Refusal, plain_text, read_length, read_mass
from server.files.lists.sheets import Cell
from server.files.lists.table import text_of_cell
from server.files.lists.twice import read_twice

_MARKED: Final = re.compile(r"\d[\d.,]*[.,]\d+|[.,]\d+")
DITTO: Final = frozenset(
    {'"', "''", '""', "do", "do.", "dto", "dto.", "dito", "ditto", "idem", "id.", '-"-', "same"}
)


def length_of(cell: Cell, unit: str | None, decimal: Decimal) -> Amount | Refusal:
    """Return the length in a cell, which may say it in two units."""
    if isinstance(cell, float):
        return _exact(cell)
    return read_twice(cell, unit, decimal, read_length)


def mass_of(cell: Cell, unit: str | None, decimal: Decimal) -> Amount | Refusal:
    """Return the mass in a cell, which may say it in two units."""
    if isinstance(cell, float):
        return _exact(cell)
    return read_twice(cell, unit, decimal, read_mass)


@lru_cache(maxsize=16_384)
def _exact(number: float) -> Amount:
    return Amount(Fraction(text_of_cell(number)), None)


def decimal_of(cells: Iterable[Cell], unit: str | None) -> Decimal:
    """Return which mark is the decimal one in a column; "either" where nothing shows it."""
    seen: set[str] = set()
    doubtful: set[str] = set()
    whole: list[float] = []
    for cell in cells:
        if isinstance(cell, float):
            continue
        plain = plain_text(cell)
        whole += [float(one) for one in re.findall(r"(?<![\d.,])\d{1,5}(?![\d.,/])", plain)]
        for digits in _MARKED.findall(plain):
            marks = [sign for sign in digits if sign in ".,"]
            last = marks[-1]
            head, _, rest = digits.rpartition(last)
            if len(set(marks)) == 2:
                seen.add(last)
            elif len(marks) > 1:
                seen.add("," if last == "." else ".")
            elif len(rest) != 3 or head in {"", "0"} or len(head) > 3:
                seen.add(last)
            else:
                doubtful.add(last)
    if len(seen) == 1:
        return "," if "," in seen else "."
    if seen or len(doubtful) != 1:
        return "either"
    return _by_size(doubtful.pop(), unit, whole)


def _by_size(mark: str, unit: str | None, whole: list[float]) -> Decimal:
    """Decide about `1,143` beside plain numbers: in millimetres, or beside 610, it is 1143."""
    other: Decimal = "," if mark == "." else "."
    if unit == "m":
        return "," if mark == "," else "."
    if unit == "mm" or (whole and sorted(whole)[len(whole) // 2] >= 200):
        return other
    return "either"
