"""Departments that stand once: as a row of their own, or beside the first of their cases only."""

from __future__ import annotations

import re
from typing import Final

from server.core.base.measures import plain_text
from server.files.lists.columns import Roles
from server.files.lists.sheets import Cell
from server.files.lists.table import Table
from server.files.lists.words import DEPARTMENTS, TOTALS

BY_WORD: Final = "a section"
BY_PLACE: Final = "a section by its place"
_ASIDE: Final = re.compile(
    r"\([^)]*\)|\[[^\]]*\]|^\d{1,2}[.)] |\b\d+ (?:cases|boxes|pcs)\b|[:*=_~#>|-]+"
)
_WORDY: Final = re.compile(r"[^\W\d_]+(?:[ '&/+,-]+[^\W\d_]+){0,3}")
_SPARSE: Final = 0.6


def sections_of(table: Table, roles: Roles) -> dict[int, tuple[str, str]]:
    """Return the rows that name a department for those below them, each with how that is known."""
    if "department" in roles.places:
        return {}
    found: dict[int, tuple[str, str]] = {}
    rows = table.rows
    for n, (number, row) in enumerate(rows):
        text = _alone(row)
        if not text:
            continue
        words = set(re.findall(r"[a-z]+", plain_text(text)))
        if words & DEPARTMENTS and len(words) <= 3:
            found[number] = (text, BY_WORD)
        elif n + 1 < len(rows) and sum(cell != "" for cell in rows[n + 1][1]) >= 3:
            found[number] = (text, BY_PLACE)
    placed = [number for number, (_, how) in found.items() if how == BY_PLACE]
    if len(found) < 2:  # a remark above the first case is no department
        for number in placed:
            del found[number]
    return found


def _alone(row: tuple[Cell, ...]) -> str:
    """Return the words of a row with nothing but a short heading in it."""
    cells = [cell for cell in row if cell != ""]
    if len(cells) != 1 or not isinstance(cells[0], str) or len(cells[0]) > 60:
        return ""
    text = " ".join(_ASIDE.sub(" ", cells[0]).split())
    if not _WORDY.fullmatch(text) or len(text) > 40 or TOTALS.match(plain_text(text)):
        return ""
    return text


def carries_down(table: Table, roles: Roles) -> bool:
    """Return whether the department stands beside the first case of each group only."""
    place = roles.places.get("department")
    if place is None or any(column == place for _, column in table.sheet.merged):
        return False  # merged cells say it themselves
    cells = [row[place] if place < len(row) else "" for _, row in table.rows if len(row) > 1]
    filled = [plain_text(str(cell)) for cell in cells if cell != ""]
    return (
        len(cells) >= 4
        and cells[0] != ""
        and 2 <= len(filled) <= _SPARSE * len(cells)
        and len(set(filled)) == len(filled)
    )
