"""A file of any kind as sheets of cells."""

from __future__ import annotations

import csv
import io
import re
from collections import Counter
from dataclasses import dataclass
from typing import Final

from server.files.lists.encoding import text_of
from server.trouble import BadInput

# A number of a spreadsheet comes as a number: what its digits mean is then beyond doubt.
Cell = str | float

MOST_ROWS: Final = 100_000
MOST_COLUMNS: Final = 200
MOST_CELL: Final = 1_000
SEPARATORS: Final = ("\t", ";", ",", "|")
OTHER_KINDS: Final = (
    (b"\xd0\xcf\x11\xe0", "an old Excel file (.xls)"),
    (b"%PDF", "a PDF"),
    (b"{\\rtf", "a text document"),
    (b"\x1f\x8b", "a compressed file"),
    (b"\xff\xd8\xff", "a photo"),
    (b"\x89PNG", "a picture"),
)


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sheet; `rows` are numbered as a spreadsheet does, from 1, blank ones included."""

    name: str
    rows: tuple[tuple[Cell, ...], ...]
    hidden: bool = False
    hidden_rows: frozenset[int] = frozenset()
    merged: frozenset[tuple[int, int]] = frozenset()  # row and column that show the cell above


def sheets_of(content: bytes, name: str = "") -> tuple[Sheet, ...]:
    """Return every sheet of a spreadsheet, or the one of a text file."""
    place = name or "file"
    if not content.strip():
        raise BadInput(place, "a list with at least one case", "an empty file")
    for start, kind in OTHER_KINDS:
        if content.startswith(start):
            raise BadInput(place, "a .csv, .tsv or .xlsx file: save it as one of these", kind)
    if content.startswith(b"PK\x03\x04"):
        from server.files.lists.workbook import workbook_sheets  # noqa: PLC0415 (a heavy library)

        return workbook_sheets(content, place)
    return (Sheet("", _rows(text_of(content), place)),)


def _rows(text: str, place: str) -> tuple[tuple[Cell, ...], ...]:
    """Return the cells of separated text."""
    if "\x00" in text:
        raise BadInput(place, "text separated by commas, semicolons or tabs", "binary data")
    told = re.match(r"sep=(.)\r?\n", text)
    separator = told[1] if told else _separator(text)
    if told:
        text = "\n" + text[told.end() :]  # rows keep their numbers
    csv.field_size_limit(1_000_000)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator)
    rows: list[tuple[Cell, ...]] = []
    try:
        for cells in reader:
            if len(rows) >= MOST_ROWS:
                raise BadInput(place, f"at most {MOST_ROWS} rows", "more")
            rows.append(bounded(cells, f"{place}, row {len(rows) + 1}"))
    except csv.Error as error:
        raise BadInput(f"{place}, row {len(rows) + 1}", "well-formed CSV", str(error)) from error
    return tuple(rows)


def bounded(cells: list[str] | list[Cell], place: str) -> tuple[Cell, ...]:
    """Return a row of bounded size without the blanks at its end."""
    last = max((n for n, cell in enumerate(cells, 1) if cell != ""), default=0)
    if last > MOST_COLUMNS:
        raise BadInput(place, f"at most {MOST_COLUMNS} columns", f"{last}")
    long = next((cell for cell in cells if isinstance(cell, str) and len(cell) > MOST_CELL), None)
    if long is not None:
        raise BadInput(place, f"cells of at most {MOST_CELL} characters", f"{len(long)}")
    return tuple(cell if isinstance(cell, float) else cell.strip() for cell in cells[:last])


def _separator(text: str) -> str:
    """Return the separator that gives most rows the same number of cells, the more the better."""
    sample = "\n".join(text[:60_000].splitlines()[:400])

    def score(separator: str) -> tuple[float, int]:
        try:
            reader = csv.reader(io.StringIO(sample, newline=""), delimiter=separator)
            widths = [len(row) for row in reader if any(row)]
        except csv.Error:
            return 0.0, 0
        wide = Counter(width for width in widths if width > 1)
        if not wide:
            return 0.0, 0
        width, often = max(wide.items(), key=lambda one: (one[1] * min(one[0], 6), one[0]))
        return often / len(widths) * min(width, 6), width

    return max(SEPARATORS, key=score)
