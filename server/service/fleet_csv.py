"""A fleet from a CSV file and back: all or nothing, every wrong line named."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Final

from server.core.base.units import Units
from server.service.case_cells import case_of, keep_absent
from server.service.csv_cells import WrongCell
from server.service.csv_table import (
    Columns,
    Layout,
    harmless,
    length_cell,
    mass_cell,
    read_lines,
    write_lines,
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
    known = there or {}

    def line(cells: list[str], columns: Columns, _taken: int) -> tuple[str, FleetCase]:
        case = case_of(cells, columns)
        code = case.case.code
        expected = code_trouble(code)
        if expected is not None:
            raise WrongCell([("code", expected, code)])
        before = known.get(code)
        return code, case if before is None else keep_absent(case, before, set(columns))

    return read_lines(content, units, LAYOUT, line)


def write_fleet(cases: Iterable[FleetCase], units: Units) -> str:
    """Return the fleet as CSV that `read_fleet` takes back, and that no spreadsheet runs."""
    return write_lines((_cells(one, units) for one in cases), units, LAYOUT)


def _cells(one: FleetCase, units: Units) -> list[str]:
    """Return the line of a case."""
    case = one.case
    sides = (case.length_um, case.width_um, case.height_um)
    return [
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


def contents_text(one: FleetCase) -> str:
    """Return what lies in a case in one cell: `20 x XLR cable; 4 x DI box`."""
    return "; ".join(f"{each.count} x {each.what}" for each in one.notes.contents)
