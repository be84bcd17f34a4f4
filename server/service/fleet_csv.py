"""A fleet from a CSV file and back: all or nothing, every wrong line named."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Mapping
from typing import Final

from server.core.units import Units
from server.service.case_cells import case_of, keep_absent
from server.service.csv_cells import WrongCell
from server.service.csv_table import (
    MOST_FAULTS,
    BadCsv,
    Fault,
    Layout,
    columns_of,
    harmless,
    length_cell,
    mass_cell,
    rows_of,
    text_of,
    yes_cell,
)
from server.service.records import FleetCase

LAYOUT: Final = Layout(
    things="case",
    most=100_000,
    columns=(
        "code", "name", "department", "home", "length", "width", "height", "mass", "turn",
        "stances", "lid_load", "rides", "lid_casters", "casters", "owner", "state", "weighed_on",
        "return_on", "contents", "note",
    ),
    required=("code", "length", "width", "height"),
    measured={
        "length": "length", "width": "length", "height": "length",
        "mass": "mass", "lid_load": "mass",
    },
    other_names={"dept": "department", "weight": "mass", "stance": "stances", "number": "code"},
)  # fmt: skip


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
    rows = rows_of(text_of(content), LAYOUT)
    columns = columns_of(next(rows, (1, []))[1], units, LAYOUT)
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
    try:
        return [], case_of(cells, columns)
    except WrongCell as wrong:
        return [Fault(number, *one) for one in wrong.faults], None


def write_fleet(cases: list[FleetCase], units: Units) -> str:
    """Return the fleet as CSV that `read_fleet` takes back, and that no spreadsheet runs."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(LAYOUT.heading(units))
    for one in cases:
        case = one.case
        sides = (case.length_um, case.width_um, case.height_um)
        writer.writerow(
            [
                *map(harmless, (case.code, case.name, case.department, case.home)),
                *(length_cell(side, units.length) for side in sides),
                mass_cell(case.mass_g, units.mass),
                yes_cell(case.turn),
                " ".join(case.stances),
                mass_cell(case.lid_load_g, units.mass),
                yes_cell(case.rides),
                yes_cell(case.lid_casters),
                yes_cell(case.casters),
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
