"""Vehicles from a CSV file and back, whole: all or nothing, every wrong cell named.

A line is a vehicle. Empty cells are not known: no ramp length is no ramp, no axles are axles not
known. Two cells hold lists: `narrow` (`100 to 140: 84 wide up to 12`, a semicolon between two) and
`track_heights` (`18 48`). Places of axles are behind the bulkhead, below zero ahead of it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any, Final

from server.core.base.units import Units
from server.service.csv_cells import Cells
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
    without a mark gets the next one. `held`: the open shows by vehicle; it is not archived.
    """
    known, busy = there or {}, held or {}

    def line(cells: list[str], columns: Columns, taken: int) -> tuple[str, FleetVehicle]:
        read = Cells(cells, columns)
        said = read_flat(read, columns)
        before = known.get(said["id"])
        fresh = {**BLANK, "mark": (len(known) + taken) % len(MARKS)}
        flat = laid_flat(before) if before else fresh
        if said.get("mark", 0) is None:
            said["mark"] = flat["mark"]
        if said.get("aside") and not flat["aside"] and said["id"] in busy:
            shows = ", ".join(busy[said["id"]][:3])
            read.wrong("aside", f"an empty cell, as open shows have it ({shows})", "yes")
        return said["id"], built({**flat, **said}, read, units)

    return read_lines(content, units, LAYOUT, line)


def write_vehicles(vehicles: Iterable[FleetVehicle], units: Units) -> str:
    """Return vehicles as CSV that `read_vehicles` takes back, and that no spreadsheet runs."""
    flat = map(laid_flat, vehicles)
    lines = ([_cell(column, one[column], units) for column in LAYOUT.columns] for one in flat)
    return write_lines(lines, units, LAYOUT)


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
