"""The cells of one sheet of a workbook, as they are shown."""

from __future__ import annotations

import math
import re
from datetime import datetime, timedelta
from typing import IO, Final

from server.files.lists.sheets import MOST_COLUMNS, MOST_ROWS, Cell, bounded
from server.files.lists.workbook_parts import Parts, Style, walk
from server.trouble import BadInput

_RANGE: Final = re.compile(r"([A-Z]{1,3})(\d+):([A-Z]{1,3})(\d+)")
_ESCAPED: Final = re.compile(r"_x000[aAdD]_")  # ECMA-376 part 1, 22.9.2.19
_PLAIN: Final = Style()
_SINCE: Final = {False: datetime(1899, 12, 30), True: datetime(1904, 1, 1)}  # noqa: DTZ001 (a date of a sheet has no zone)

Rows = tuple[tuple[Cell, ...], ...]
Merged = frozenset[tuple[int, int]]


class _Reader:
    """Collects the cells of a sheet while its part is parsed."""

    def __init__(self, parts: Parts, place: str) -> None:
        """Begin a sheet."""
        self.parts, self.place = parts, place
        self.rows: list[tuple[Cell, ...]] = []
        self.hidden: set[int] = set()
        self.merged: set[tuple[int, int]] = set()
        self.row, self.column = 0, -1
        self.cells: dict[int, Cell] = {}
        self.kind, self.style = "", 0
        self.value, self.formula = "", ""
        self.reading = ""
        self.columns: dict[str, int] = {}

    def start(self, name: str, said: dict[str, str]) -> None:
        """Take the start of an element."""
        if name == "c":
            self.kind, self.style = said.get("t", "n"), int(said.get("s", 0))
            self.value = self.formula = self.reading = ""
            where = said.get("r", "").rstrip("0123456789")
            self.column = self.place_of(where) if where else self.column + 1
        elif name in {"v", "t", "f"}:
            self.reading = name
        elif name == "row":
            self.row, self.column = int(said.get("r", self.row + 1)), -1
            self.cells = {}
            if said.get("hidden") in {"1", "true"}:
                self.hidden.add(self.row)
        elif name == "mergeCell":
            self.merge(said.get("ref", ""))

    def text(self, said: str) -> None:
        """Take text: a value or a formula."""
        if self.reading == "f":
            self.formula += said
        elif self.reading:
            self.value += said

    def end(self, name: str) -> None:
        """Take the end of an element."""
        if name in {"v", "t", "f"}:
            self.reading = ""
        elif name == "c":
            cell = self.cell()
            if cell != "":
                self.cells[self.column] = cell
        elif name == "row":
            self.keep()

    def place_of(self, letters: str) -> int:
        """Return the place of a column from 0: A, B … Z, AA."""
        if letters not in self.columns:
            place = 0
            for letter in letters:
                place = place * 26 + ord(letter) - ord("A") + 1
            self.columns[letters] = place - 1
        return self.columns[letters]

    def keep(self) -> None:
        """Keep a row where its number says."""
        if self.row > MOST_ROWS:
            if not self.cells:
                return
            raise BadInput(self.place, f"at most {MOST_ROWS} rows", "more")
        last = max(self.cells, default=-1)
        where = f"{self.place}, row {self.row}"
        if last >= MOST_COLUMNS:
            raise BadInput(where, f"at most {MOST_COLUMNS} columns", f"{last + 1}")
        if self.row > len(self.rows):
            self.rows += [()] * (self.row - len(self.rows))
            self.rows[-1] = bounded([self.cells.get(n, "") for n in range(last + 1)], where)

    def merge(self, ref: str) -> None:
        """Note the cells that show what the first cell of their column above them says."""
        found = _RANGE.fullmatch(ref)
        if found is None:
            return
        first, last = int(found[2]), min(int(found[4]), MOST_ROWS)
        place = self.place_of(found[1])
        if last - first <= len(self.rows) and len(self.merged) < MOST_ROWS:
            self.merged.update((row, place) for row in range(first + 1, last + 1))

    def cell(self) -> Cell:
        """Return what a cell shows; a formula that no program has worked out, as itself."""
        said = self.value
        if not said:
            return f"={self.formula}"[:200] if self.formula else ""
        if self.kind == "s":
            return _ESCAPED.sub("\n", self.parts.texts[int(said)])
        if self.kind == "b":
            return "yes" if said == "1" else "no"
        if self.kind != "n":
            return said
        if not math.isfinite(float(said)):
            return said
        styles = self.parts.styles
        return _shown(
            float(said),
            styles[self.style] if self.style < len(styles) else _PLAIN,
            since_1904=self.parts.since_1904,
        )


def rows_of(source: IO[bytes], parts: Parts, place: str) -> tuple[Rows, frozenset[int], Merged]:
    """Return the rows of a sheet, which of them are hidden, and what is merged downwards."""
    reader = _Reader(parts, place)
    walk(source, reader.start, reader.end, reader.text)
    return tuple(reader.rows), frozenset(reader.hidden), frozenset(reader.merged)


def _shown(value: float, style: Style, *, since_1904: bool) -> Cell:
    """Return a number as its format shows it."""
    if style is _PLAIN:
        return value
    if style.date:
        try:
            return (_SINCE[since_1904] + timedelta(days=value)).isoformat(timespec="seconds")
        except (OverflowError, ValueError):
            return value
    if style.digits and value.is_integer() and value >= 0:
        return str(int(value)).zfill(style.digits)
    if style.words:
        return f"{plain_number(value)} {style.words}"
    return value


def plain_number(value: float) -> str:
    """Return a number without an exponent or a decimal point that says nothing."""
    return str(int(value)) if value.is_integer() else repr(round(value, 6))
