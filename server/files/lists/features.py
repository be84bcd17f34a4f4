"""What the cells of a column look like, whatever its heading says."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from server.core.base.measures import Amount, Refusal, plain_text, read_length, read_mass
from server.files.lists.several import several_of
from server.files.lists.sheets import Cell
from server.files.lists.sides import parts_of
from server.files.lists.table import Table, text_of_cell
from server.files.lists.words import DEPARTMENTS, PLACE, TOTALS

SAMPLE: Final = 400
_CODE: Final = re.compile(
    r"#?[a-z]{0,6}[ ./_#-]{0,2}\d{1,6}(?:[ ./_-]{0,2}[a-z0-9]{1,4}){0,3}", re.IGNORECASE
)
# `G1` and `#7` are numbers of cases, though they read as grams and pounds; `kg 45` is a mass.
_LETTERED: Final = re.compile(
    r"(?!(?:lbs?|kgs?|kilos?|[lwhdbt])\b|[lwhdbt][ .:=]*\d)[a-z#]+[ ./_#-]*\d"
)
_LETTERS: Final = re.compile(r"[^\W\d_]")


@dataclass(frozen=True, slots=True)
class Features:
    """Shares of the filled cells, from 0 to 1."""

    filled: float
    distinct: float
    length: float
    length_unit: float
    mass: float
    mass_unit: float
    sides: float
    code: float
    place: float
    department: float
    wordy: float
    words: float
    number: float
    whole: float
    kinds: int


def features_of(table: Table, place: int) -> Features:
    """Return what the cells of a column look like."""
    rows = [row for _, row in table.rows[:: max(1, len(table.rows) // SAMPLE)]]
    rows = [row for row in rows if not _is_total(row)]
    several = [row for row in rows if sum(cell != "" for cell in row) > 1]
    rows = several or rows  # a row with one cell names a section
    cells: list[Cell] = [row[place] for row in rows if place < len(row) and row[place] != ""]
    texts = [text_of_cell(cell) for cell in cells]
    count = len(texts) or 1

    def share(fits: Sequence[bool]) -> float:
        return sum(fits) / count

    lengths = [_length(text) for text in texts]
    masses = [read_mass(text, "kg") for text in texts]
    plain = [plain_text(text) for text in texts]
    codes = [len(several_of(text).codes) > 1 or _LETTERED.match(text) is not None for text in plain]
    return Features(
        filled=len(texts) / max(1, len(rows)),
        distinct=len(set(plain)) / count,
        length=share([_could(one) for one in lengths]),
        length_unit=share([isinstance(one, Amount) and one.unit is not None for one in lengths]),
        mass=share([_could(one) for one in masses]),
        mass_unit=share(
            [
                isinstance(one, Amount) and one.unit is not None and not code
                for one, code in zip(masses, codes, strict=True)
            ]
        ),
        sides=share(
            [
                parts_of(text) is not None and not code
                for text, code in zip(texts, codes, strict=True)
            ]
        ),
        code=share([_is_code(text) for text in plain]),
        place=share([PLACE.fullmatch(text) is not None for text in plain]),
        department=share([bool(set(one.split()) & DEPARTMENTS) and len(one) < 30 for one in plain]),
        wordy=share([_worded(t, m) for t, m in zip(texts, masses, strict=True)]),
        words=sum(len(text.split()) for text in plain) / count,
        number=share([isinstance(one, Amount) for one in masses]),
        whole=share([text.isdigit() for text in texts]),
        kinds=len(set(plain)),
    )  # fmt: skip


def _is_code(text: str) -> bool:
    """Return whether a cell may be a number of a case, or several."""
    return all(_CODE.fullmatch(one) is not None for one in several_of(text).codes)


def _could(one: Amount | Refusal) -> bool:
    """Return whether a cell is an amount, or words that stand for one nobody knows."""
    return isinstance(one, Amount) or one.reason in {"unknown", "typo", "about", "ambiguous"}


def _length(text: str) -> Amount | Refusal:
    """Return a length whichever mark is the decimal one."""
    read = read_length(text, "cm")
    if isinstance(read, Refusal) and read.reason == "ambiguous":
        return read_length(text, "cm", ",")
    return read


def _worded(text: str, mass: Amount | Refusal) -> bool:
    return _LETTERS.search(text) is not None and not _could(mass)


def _is_total(row: tuple[Cell, ...]) -> bool:
    first = next((cell for cell in row if cell != ""), "")
    return isinstance(first, str) and TOTALS.match(plain_text(first)) is not None
