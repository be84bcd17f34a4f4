"""A fleet from a CSV file and back: all or nothing, every wrong line named."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Final

from server.core.base.units import Units
from server.service.case_cells import ALL, case_of, cells_of, keep_absent
from server.service.csv_cells import WrongCell
from server.service.csv_table import (
    Columns,
    Layout,
    read_lines,
    write_lines,
)
from server.service.records import FleetCase

LAYOUT: Final = Layout(
    things="case",
    most=100_000,
    columns=tuple(ALL),
    required=tuple(name for name, one in ALL.items() if one.required),
    measured={
        name: one.column.kind for name, one in ALL.items() if one.column.kind in {"length", "mass"}
    },
    other_names={other: name for name, one in ALL.items() for other in one.column.other_names},
)


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
    return write_lines((cells_of(one, units) for one in cases), units, LAYOUT)
