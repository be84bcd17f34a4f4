"""Vehicles from a CSV file and back, whole: all or nothing, every wrong cell named.

A line is a vehicle. Empty cells are not known: no ramp length is no ramp, no axles are axles not
known. Two cells hold lists: `narrow` (`100 to 140: 84 wide up to 12`, a semicolon between two) and
`track_heights` (`18 48`). Places of axles are behind the bulkhead, below zero ahead of it.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Mapping, Sequence
from typing import Any, Final

from server.core.units import Units
from server.service.csv_cells import Cells, WrongCell
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
from server.service.records import FleetVehicle
from server.service.vehicle_cells import BLANK, MARKS, built, laid_flat, read_flat

LENGTHS: Final = (
    "width", "length", "height", "door_height", "narrow", "ramp_length", "deck_height",
    "gate_depth", "gate_width", "track_heights", "track_pitch", "front_at", "rear_at",
)  # fmt: skip
MASSES: Final = (
    "payload", "ramp_rating", "gate_rating", "strap_wll", "empty_front", "empty_rear",
    "front_limit", "rear_limit", "gross_limit",
)  # fmt: skip
LAYOUT: Final = Layout(
    things="vehicle",
    most=1_000,
    columns=(
        "id", "name", "mark", "aside", "driver_side", "width", "length", "height", "door_height",
        "payload", "narrow", "ramp_length", "deck_height", "ramp_rating", "ramp_wet", "gate_depth",
        "gate_width", "gate_rating", "track_heights", "track_pitch", "straps", "strap_wll", "bars",
        "axles", "front_at", "rear_at", "empty_front", "empty_rear", "front_limit", "rear_limit",
        "gross_limit", "share_min", "share_max",
    ),
    required=("id", "width", "length", "height"),
    measured={**dict.fromkeys(LENGTHS, "length"), **dict.fromkeys(MASSES, "mass")},
    other_names={"vehicle": "id", "door": "door_height", "wll": "strap_wll"},
)  # fmt: skip


def read_vehicles(
    content: bytes,
    units: Units,
    there: Mapping[str, FleetVehicle] | None = None,
    held: Mapping[str, Sequence[str]] | None = None,
) -> list[FleetVehicle]:
    """Return every vehicle of a file; BadCsv names each wrong cell.

    What the file has no column for stays as it is in the vehicle that is `there`; a new vehicle
    without a mark gets the next one. `held`: the open shows by vehicle; it is not put aside.
    """
    known = there or {}
    rows = rows_of(text_of(content), LAYOUT)
    columns = columns_of(next(rows, (1, []))[1], units, LAYOUT)
    faults: list[Fault] = []
    found: dict[str, tuple[int, FleetVehicle]] = {}
    for number, cells in rows:
        if not any(cell.strip() for cell in cells):
            continue
        read = Cells(cells, columns)
        said = read_flat(read, columns)
        before = known.get(said["id"])
        fresh = {**BLANK, "mark": (len(known) + len(found)) % len(MARKS)}
        flat = laid_flat(before) if before else fresh
        if said.get("mark", 0) is None:
            said["mark"] = flat["mark"]
        if said.get("aside") and not flat["aside"] and said["id"] in (held or {}):
            shows = ", ".join((held or {})[said["id"]][:3])
            read.wrong("aside", f"an empty cell, as open shows have it ({shows})", "yes")
        if said["id"] in found:
            expected = f"every id once (row {found[said['id']][0]} has it)"
            read.wrong("id", expected, said["id"])
        try:
            found[said["id"]] = (number, built({**flat, **said}, read))
        except WrongCell as wrong:
            faults += [Fault(number, *one) for one in wrong.faults]
    if faults:
        raise BadCsv(faults[:MOST_FAULTS], max(0, len(faults) - MOST_FAULTS))
    if not found:
        raise BadCsv([Fault(2, "id", "at least one vehicle below the heading", "nothing")])
    return [vehicle for _, vehicle in found.values()]


def write_vehicles(vehicles: Iterable[FleetVehicle], units: Units) -> str:
    """Return vehicles as CSV that `read_vehicles` takes back, and that no spreadsheet runs."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(LAYOUT.heading(units))
    for one in vehicles:
        flat = laid_flat(one)
        writer.writerow(_cell(column, flat[column], units) for column in LAYOUT.columns)
    return out.getvalue()


def _cell(column: str, value: Any, units: Units) -> str:
    """Return one cell; numbers stay numbers, also those below zero."""
    if value is None:
        return ""
    if column == "mark":
        return MARKS[value % len(MARKS)]
    if column == "narrow":
        return "; ".join(
            "{} to {}: {} wide up to {}".format(
                *(
                    length_cell(um, units.length)
                    for um in (one.from_um, one.to_um, one.width_um, one.up_to_um)
                )
            )
            for one in value
        )
    if column == "track_heights":
        return " ".join(length_cell(um, units.length) for um in value)
    if column in LENGTHS:
        return length_cell(value, units.length)
    if column in MASSES:
        return mass_cell(value, units.mass)
    if column == "aside":
        return "yes" if value else ""
    return yes_cell(value) if column == "ramp_wet" else harmless(f"{value}")
