"""A fleet from a CSV file and back: all or nothing, every wrong line named.

Columns are told by their heading, in any order; lengths and masses are in the shop's units unless
the heading names one (`length_cm`, `mass_kg`). Separators are comma, semicolon or tab; encodings
UTF-8 (with or without byte order mark), UTF-16 with one, else Windows-1252.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from server.core.units import Units, from_g, from_um
from server.service.csv_cells import Cells, WrongCell, keep_absent
from server.service.records import FleetCase

MOST_LINES: Final = 100_000
MOST_FAULTS: Final = 200
MOST_CELL: Final = 1_000
REQUIRED: Final = ("code", "length", "width", "height")
COLUMNS: Final = (
    "code", "name", "department", "home", "length", "width", "height", "mass", "turn", "stances",
    "lid_load", "rides", "lid_casters", "casters", "owner", "state", "weighed_on", "return_on",
    "contents", "note",
)  # fmt: skip
MEASURED: Final = {
    "length": "length",
    "width": "length",
    "height": "length",
    "mass": "mass",
    "lid_load": "mass",
}
# How people write a heading, and what it means here.
OTHER_NAMES: Final = {
    "dept": "department",
    "weight": "mass",
    "stance": "stances",
    "number": "code",
}
# A cell that begins so is run as a formula by spreadsheets (OWASP, CSV injection).
FORMULA: Final = ("=", "+", "-", "@", "\t", "\r")


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


def read_fleet(
    content: bytes,
    units: Units,
    code_trouble: Callable[[str], str | None] = lambda _: None,
    there: Mapping[str, FleetCase] | None = None,
) -> list[FleetCase]:
    """Return every case of a file; BadCsv names each wrong cell.

    What the file has no column for stays as it is in the case that is `there`.

    `code_trouble` returns what was expected of a code that the shop does not number so.
    """
    rows = _rows(_text(content))
    heading = next(rows, (1, []))[1]
    columns = _columns(heading, units)
    faults: list[Fault] = []
    found: dict[str, tuple[int, FleetCase]] = {}
    extra = 0
    for number, cells in rows:
        if not any(cell.strip() for cell in cells):
            continue
        wrong, case = _line(number, cells, columns)
        expected = code_trouble(case.case.code) if case is not None else None
        if case is not None and expected is not None:
            wrong = [Fault(number, "code", expected, case.case.code)]
        elif case is not None and case.case.code in found:
            before = found[case.case.code][0]
            wrong = [
                Fault(number, "code", f"every code once (row {before} has it)", case.case.code)
            ]
        extra += max(0, len(faults) + len(wrong) - MOST_FAULTS)
        faults = (faults + wrong)[:MOST_FAULTS]
        if case is not None and not wrong:
            before_file = (there or {}).get(case.case.code)
            kept = case if before_file is None else keep_absent(case, before_file, set(columns))
            found[case.case.code] = (number, kept)
    if faults:
        raise BadCsv(faults, extra)
    if not found:
        raise BadCsv([Fault(2, "code", "at least one case below the heading", "nothing")])
    return [case for _, case in found.values()]


def _line(
    number: int, cells: list[str], columns: Mapping[str, tuple[int, str]]
) -> tuple[list[Fault], FleetCase | None]:
    """Return the faults of a line, or its case."""
    reader = Cells(cells, columns)
    try:
        case = reader.case()
    except WrongCell as wrong:
        return [Fault(number, *one) for one in wrong.faults], None
    return [], case


def _text(content: bytes) -> str:
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


def _rows(text: str) -> Iterator[tuple[int, list[str]]]:
    """Yield row number and cells; the heading tells the separator."""
    if "\x00" in text:
        raise BadCsv([Fault(1, "file", "a CSV text file", "binary data")])
    heading = text.split("\n", 1)[0]
    separator = max(",;\t", key=heading.count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    number = 0
    try:
        for number, cells in enumerate(reader, start=1):
            if number > MOST_LINES + 1:
                raise BadCsv([Fault(number, "file", f"at most {MOST_LINES} cases", "more")])
            long = next((cell for cell in cells if len(cell) > MOST_CELL), None)
            if long is not None:
                expected = f"cells of at most {MOST_CELL} characters"
                raise BadCsv([Fault(number, "file", expected, f"one of {len(long)}")])
            yield number, cells
    except csv.Error as error:
        raise BadCsv([Fault(number + 1, "file", "well-formed CSV", str(error))]) from error


def _columns(heading: list[str], units: Units) -> dict[str, tuple[int, str]]:
    """Return column → place and unit; every heading must be known and stand once."""
    columns: dict[str, tuple[int, str]] = {}
    faults = []
    for place, cell in enumerate(heading):
        name = cell.strip().lower().replace(" ", "_").replace("(", "").replace(")", "")
        if not name:
            continue
        base, unit = _unit(name, units)
        base = OTHER_NAMES.get(base, base)
        if base not in COLUMNS:
            faults.append(Fault(1, cell.strip()[:60], f"one of {', '.join(COLUMNS)}", "no such"))
        elif base in columns:
            faults.append(Fault(1, base, "every column once", "twice"))
        else:
            columns[base] = (place, unit)
    faults += [
        Fault(1, name, "a column of this heading", "none")
        for name in REQUIRED
        if name not in columns
    ]
    if faults:
        raise BadCsv(faults)
    return columns


def _unit(name: str, units: Units) -> tuple[str, str]:
    """Return the column's plain name and its unit, from the heading or from the shop."""
    base, _, last = name.rpartition("_")
    base = OTHER_NAMES.get(base, base)
    if last in {"in", "cm", "mm"} and MEASURED.get(base) == "length":
        return base, last
    if last in {"lb", "kg"} and MEASURED.get(base) == "mass":
        return base, last
    kind = MEASURED.get(OTHER_NAMES.get(name, name))
    return name, units.length if kind == "length" else units.mass if kind == "mass" else ""


def write_fleet(cases: list[FleetCase], units: Units) -> str:
    """Return the fleet as CSV that `read_fleet` takes back, and that no spreadsheet runs."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(
        f"{name}_{units.length if MEASURED[name] == 'length' else units.mass}"
        if name in MEASURED
        else name
        for name in COLUMNS
    )
    for one in cases:
        case = one.case
        sides = (case.length_um, case.width_um, case.height_um)
        writer.writerow(
            [
                *map(harmless, (case.code, case.name, case.department, case.home)),
                *(f"{from_um(side, units.length):.10g}" for side in sides),
                f"{from_g(case.mass_g, units.mass):.10g}",
                _yes(case.turn),
                " ".join(case.stances),
                "" if case.lid_load_g is None else f"{from_g(case.lid_load_g, units.mass):.10g}",
                _yes(case.rides),
                _yes(case.lid_casters),
                _yes(case.casters),
                harmless(one.owner),
                one.state,
                one.notes.weighed_on,
                one.notes.return_on,
                harmless(contents_text(one)),
                harmless(one.notes.note),
            ]
        )
    return out.getvalue()


def contents_text(one: FleetCase) -> str:
    """Return what lies in a case in one cell: `20 x XLR cable; 4 x DI box`."""
    return "; ".join(f"{each.count} x {each.what}" for each in one.notes.contents)


def _yes(value: bool) -> str:
    return "yes" if value else "no"


def harmless(text: str) -> str:
    """Return a cell that a spreadsheet shows and does not run: an apostrophe goes before it."""
    return f"'{text}" if text.startswith(FORMULA) else text
