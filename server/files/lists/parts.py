"""A sheet of several tables: another heading, or a row of other units, further down."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from server.files.lists.sheets import Cell, Sheet
from server.files.lists.table import (
    heading_score,
    is_heading_again,
    is_unit_row,
    span,
)

_MOST_PARTS: Final = 40
_LIKE: Final = 0.7  # of the score of the first heading


def parts_of_sheet(sheet: Sheet, heading: int | None) -> list[tuple[Sheet, int | None, bool]]:
    """Return the tables of a sheet, each with its heading and whether that is the first one's.

    Rows of other tables are blank in each, so that every line keeps its number.
    """
    first, last = span(sheet, heading)
    if not first:
        return [(sheet, heading, True)]
    top = sheet.rows[first - 1]
    starts = _starts(sheet.rows, first, last)
    if not starts:
        return [(sheet, heading, True)]
    ends = [start - 1 for start, _ in starts[1:]] + [len(sheet.rows)]
    found: list[tuple[Sheet, int | None, bool]] = [
        (replace(sheet, rows=sheet.rows[: starts[0][0] - 1]), first, True)
    ]
    title = sheet.rows[: first - 1]
    for (start, own), end in zip(starts, ends, strict=True):
        at = start if own else start - 1
        blank: tuple[tuple[Cell, ...], ...] = ((),) * (at - 1 - len(title))
        head = sheet.rows[start - 1] if own else top
        body = sheet.rows[start - 1 : end] if not own else sheet.rows[start:end]
        found.append((replace(sheet, rows=(*title, *blank, head, *body)), at, not own))
    return found


def _starts(rows: tuple[tuple[Cell, ...], ...], first: int, last: int) -> list[tuple[int, bool]]:
    """Return where further tables start, and whether each has a heading of its own."""
    least = heading_score(rows[first - 1]) * _LIKE
    found: list[tuple[int, bool]] = []
    for number, row in enumerate(rows[last:], start=last + 1):
        texts = [cell for cell in row if cell != ""]
        if len(texts) < 2 or not all(isinstance(one, str) for one in texts):
            continue
        if any(sign.isdigit() for one in texts for sign in str(one)):
            continue
        if is_unit_row(row):
            found.append((number, False))
        elif (
            len(texts) >= 3
            and not is_heading_again(row, rows[first - 1])
            and heading_score(row) >= least
        ):
            found.append((number, True))
        if len(found) == _MOST_PARTS:
            break
    return found
