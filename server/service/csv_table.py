"""A CSV file from anywhere, taken apart into rows and known columns, and cells on the way out.

Separators are comma, semicolon or tab; encodings UTF-8 (with or without byte order mark), UTF-16
with one, else Windows-1252. Columns are told by their heading, in any order; lengths and masses
are in the shop's units unless the heading names one (`length_cm`, `mass_kg`).
"""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Final, TypeVar

from server.core.base.units import G_PER, Units, from_um, to_g
from server.service.csv_cells import WrongCell

Thing = TypeVar("Thing")
Columns = Mapping[str, tuple[int, str]]

MOST_FAULTS: Final = 200
MOST_CELL: Final = 1_000
# A cell that begins so is run as a formula by spreadsheets (OWASP, CSV injection).
FORMULA: Final = ("=", "+", "-", "@", "\t", "\r")


@dataclass(frozen=True, slots=True)
class Layout:
    """The columns of one kind of file: which there are, which must be, which have a unit.

    `things` names what a line is; `other_names` says how else people write a heading.
    """

    things: str
    most: int
    columns: tuple[str, ...]
    required: tuple[str, ...]
    measured: Mapping[str, str]
    other_names: Mapping[str, str] = field(default_factory=dict)

    def heading(self, units: Units) -> list[str]:
        """Return the heading of a file in these units."""
        unit = {"length": units.length, "mass": units.mass}
        return [
            f"{name}_{unit[self.measured[name]]}" if name in self.measured else name
            for name in self.columns
        ]


@dataclass(frozen=True, slots=True)
class Fault:
    """One wrong cell; rows count from 1 and the heading is row 1."""

    row: int
    column: str
    expected: str
    got: str


class BadCsv(Exception):
    """A file of which nothing was taken; `faults` names every wrong cell, `more` those beyond."""

    def __init__(self, faults: list[Fault], more: int = 0) -> None:
        first = faults[0]
        super().__init__(
            f"row {first.row}, {first.column}: expected {first.expected}, got {first.got}"
        )
        self.faults = faults
        self.more = more


def read_lines(
    content: bytes,
    units: Units,
    layout: Layout,
    read: Callable[[list[str], Columns, int], tuple[str, Thing]],
) -> list[Thing]:
    """Return what every line of a file says; BadCsv names each wrong cell, and then nothing is.

    `read` is given the cells, the columns and how many lines were right before; it returns what
    tells the line from others (the first of the columns that must be) and what it says, or raises
    WrongCell.
    """
    rows = rows_of(text_of(content), layout)
    columns = columns_of(next(rows, (1, []))[1], units, layout)
    faults: list[Fault] = []
    more = 0
    found: dict[str, tuple[int, Thing]] = {}
    for number, cells in rows:
        if not any(cell.strip() for cell in cells):
            continue
        try:
            name, thing = read(cells, columns, len(found))
            if name in found:
                expected = f"every {layout.required[0]} once (row {found[name][0]} has it)"
                raise WrongCell([(layout.required[0], expected, name)])
        except WrongCell as wrong:
            told = [Fault(number, *one) for one in wrong.faults]
            more += max(0, len(faults) + len(told) - MOST_FAULTS)
            faults = (faults + told)[:MOST_FAULTS]
        else:
            found[name] = (number, thing)
    if faults:
        raise BadCsv(faults, more)
    if not found:
        expected = f"at least one {layout.things} below the heading"
        raise BadCsv([Fault(2, layout.required[0], expected, "nothing")])
    return [thing for _, thing in found.values()]


def write_lines(lines: Iterable[Iterable[str]], units: Units, layout: Layout) -> str:
    """Return a CSV file with its heading; the cells come ready."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(layout.heading(units))
    writer.writerows(lines)
    return out.getvalue()


def text_of(content: bytes) -> str:
    """Return the text of a file in whichever of the usual encodings it was saved."""
    if content.startswith((b"\xff\xfe", b"\xfe\xff")):
        try:
            return content.decode("utf-16")
        except UnicodeDecodeError:
            raise BadCsv([Fault(1, "file", "text", "broken UTF-16")]) from None
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError:
        pass
    try:
        return content.decode("cp1252")
    except UnicodeDecodeError:
        raise BadCsv([Fault(1, "file", "text in UTF-8 or Windows-1252", "neither")]) from None


def rows_of(text: str, layout: Layout) -> Iterator[tuple[int, list[str]]]:
    """Yield row number and cells; the heading tells the separator."""
    if "\x00" in text:
        raise BadCsv([Fault(1, "file", "a CSV text file", "binary data")])
    heading = text.split("\n", 1)[0]
    separator = max(",;\t", key=heading.count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    number = 0
    try:
        for number, cells in enumerate(reader, start=1):
            if number > layout.most + 1:
                expected = f"at most {layout.most} {layout.things}s"
                raise BadCsv([Fault(number, "file", expected, "more")])
            long = next((cell for cell in cells if len(cell) > MOST_CELL), None)
            if long is not None:
                expected = f"cells of at most {MOST_CELL} characters"
                raise BadCsv([Fault(number, "file", expected, f"one of {len(long)}")])
            yield number, cells
    except csv.Error as error:
        raise BadCsv([Fault(number + 1, "file", "well-formed CSV", str(error))]) from error


def columns_of(heading: list[str], units: Units, layout: Layout) -> dict[str, tuple[int, str]]:
    """Return column → place and unit; every heading must be known and stand once."""
    columns: dict[str, tuple[int, str]] = {}
    faults = []
    for place, cell in enumerate(heading):
        name = cell.strip().lower().replace(" ", "_").replace("(", "").replace(")", "")
        if not name:
            continue
        base, unit = _unit(name, units, layout)
        base = layout.other_names.get(base, base)
        if base not in layout.columns:
            known = f"one of {', '.join(layout.columns)}"
            faults.append(Fault(1, cell.strip()[:60], known, "no such"))
        elif base in columns:
            faults.append(Fault(1, base, "every column once", "twice"))
        else:
            columns[base] = (place, unit)
    faults += [
        Fault(1, name, "a column of this heading", "none")
        for name in layout.required
        if name not in columns
    ]
    if faults:
        raise BadCsv(faults)
    return columns


def looks_like(content: bytes, layout: Layout) -> bool:
    """Return whether the first line of a file has what this kind of file needs to tell lines."""
    heading = next(rows_of(text_of(content), layout), (1, []))[1]
    return layout.required[0] in {cell.strip().lower() for cell in heading}


def _unit(name: str, units: Units, layout: Layout) -> tuple[str, str]:
    """Return the column's plain name and its unit, from the heading or from the shop."""
    base, _, last = name.rpartition("_")
    base = layout.other_names.get(base, base)
    if last in {"in", "cm", "mm"} and layout.measured.get(base) == "length":
        return base, last
    if last in {"lb", "kg"} and layout.measured.get(base) == "mass":
        return base, last
    kind = layout.measured.get(layout.other_names.get(name, name))
    return name, units.length if kind == "length" else units.mass if kind == "mass" else ""


def harmless(text: str) -> str:
    """Return a cell that a spreadsheet shows and does not run: an apostrophe goes before it."""
    return f"'{text}" if text.startswith(FORMULA) else text


def length_cell(um: int | None, unit: str) -> str:
    """Return a length as a number; empty where there is none."""
    return "" if um is None else f"{from_um(um, unit):.10g}"


def mass_cell(grams: int | None, unit: str) -> str:
    """Return a mass as the shortest number that brings back the same gram."""
    if grams is None:
        return ""
    exact = grams / float(G_PER[unit])
    found = (round(exact, places) for places in range(4))
    return f"{next((value for value in found if to_g(value, unit) == grams), exact):.13g}"


def yes_cell(value: bool) -> str:
    """Return yes or no."""
    return "yes" if value else "no"
