"""Rows with what stands above them: ditto marks, merged cells, and lines that only repeat."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from typing import Final

from server.core.base.measures import plain_text
from server.files.lists.cells import DITTO
from server.files.lists.columns import Roles
from server.files.lists.sections import carries_down
from server.files.lists.sheets import Cell
from server.files.lists.table import Table, text_of_cell
from server.files.lists.words import SIDES

Row = tuple[Cell, ...]
KEPT: Final = ("code", "quantity", "department")  # never taken from the line above as a blank


def without_ditto(
    table: Table, roles: Roles, shapes: Counter[str]
) -> Iterator[tuple[int, Row, str]]:
    """Yield the rows with what stands above where a mark, a merged cell or blanks say so.

    The text names what was blank and is read from the line above, empty where nothing was.
    """
    above: Row = ()
    code = roles.places.get("code")
    carried = roles.places["department"] if carries_down(table, roles) else -1
    merged = table.sheet.merged
    for number, row in table.rows:
        # An empty cell at the end of a row is not kept.
        wide = (*row, *[""] * (len(above) - len(row)))
        cells = tuple(
            above[place]
            if place < len(above)
            and place != code
            and (
                _is_ditto(cell) or (cell == "" and (place == carried or (number, place) in merged))
            )
            else cell
            for place, cell in enumerate(wide)
        )
        known = shape_of(text_at(cells, code)) in shapes
        blank = _repeats(cells, above, roles) if known else []
        if blank:
            places = {roles.places[role] for role in blank}
            cells = tuple(above[n] if n in places else cell for n, cell in enumerate(cells))
        yield number, cells if blank or len(row) >= len(cells) else _cut(cells), ", ".join(blank)
        above = cells


def _repeats(row: Row, above: Row, roles: Roles) -> list[str]:
    """Return the columns that a line with a number of its own leaves to the line above it.

    Name and every side are blank there: the second of a pair, as people write lists by hand.
    """
    at = roles.places

    def there(cells: Row, role: str) -> bool:
        return role in at and at[role] < len(cells) and cells[at[role]] != ""

    sides = [side for side in (*SIDES, "sides") if side in at]
    if not there(row, "code") or not sides or "name" not in at:
        return []
    if there(row, "name") or any(there(row, side) for side in sides):
        return []
    if not there(above, "code") or not there(above, "name"):
        return []
    if not all(there(above, side) for side in sides):
        return []
    return [role for role in at if role not in KEPT and not there(row, role) and there(above, role)]


def shapes_of(table: Table, roles: Roles) -> Counter[str]:
    """Return how the numbers of cases look that stand beside something else."""
    place = roles.places.get("code")
    found = [text_at(row, place) for _, row in table.rows if sum(cell != "" for cell in row) > 2]
    return Counter(shape_of(code) for code in found if any(sign.isdigit() for sign in code))


def shape_of(code: str) -> str:
    """Return how a number looks: letters as A, runs of digits as 9."""
    return re.sub(r"\d+", "9", re.sub(r"[^\W\d_]", "A", code))


def text_at(row: tuple[Cell, ...], place: int | None) -> str:
    """Return the text of a cell on one line; empty where there is no such column."""
    if place is None or place >= len(row):
        return ""
    text = " ".join(text_of_cell(row[place]).split())
    return text[1:].strip() if text.startswith("'") else text


def _cut(cells: Row) -> Row:
    """Return a row without the blanks at its end."""
    last = max((n for n, cell in enumerate(cells, start=1) if cell != ""), default=0)
    return cells[:last]


def _is_ditto(cell: Cell) -> bool:
    return isinstance(cell, str) and 0 < len(cell) <= 5 and plain_text(cell) in DITTO
