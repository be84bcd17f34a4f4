"""Vehicles as CSV for whoever keeps a spreadsheet; what is read back is `vehicles.json`."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable
from typing import Final

from server.core.units import Units, from_g, from_um
from server.core.vehicle import Vehicle
from server.service.fleet_csv import harmless
from server.service.records import FleetVehicle

LENGTHS: Final = (
    "width", "length", "height", "door_height", "ramp_length", "deck_height", "gate_depth",
    "gate_width", "track_pitch",
)  # fmt: skip
MASSES: Final = ("payload", "ramp_rating", "gate_rating", "strap_wll")


def write_vehicles(vehicles: Iterable[FleetVehicle], units: Units) -> str:
    """Return vehicles as CSV that no spreadsheet runs; empty cells are not known."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(
        ["id", "name", "driver_side"]
        + [f"{name}_{units.length}" for name in LENGTHS]
        + [f"{name}_{units.mass}" for name in MASSES]
        + [f"track_heights_{units.length}", "straps", "bars"]
    )
    for one in vehicles:
        vehicle = one.vehicle
        track = vehicle.track.heights_um if vehicle.track else ()
        writer.writerow(
            [harmless(vehicle.id), harmless(vehicle.name), vehicle.driver_side]
            + [_length(um, units) for um in _lengths(vehicle)]
            + ["" if g is None else f"{from_g(g, units.mass):.10g}" for g in _masses(vehicle)]
            + [" ".join(_length(um, units) for um in track)]
            + [vehicle.straps.count if vehicle.straps else "", vehicle.bars]
        )
    return out.getvalue()


def _length(um: int | None, units: Units) -> str:
    return "" if um is None else f"{from_um(um, units.length):.10g}"


def _lengths(vehicle: Vehicle) -> tuple[int | None, ...]:
    ramp, gate, track = vehicle.ramp, vehicle.lift_gate, vehicle.track
    return (
        vehicle.width_um,
        vehicle.length_um,
        vehicle.height_um,
        vehicle.door_height_um,
        ramp.length_um if ramp else None,
        ramp.deck_height_um if ramp else None,
        gate.deep_um if gate else None,
        gate.wide_um if gate else None,
        track.pitch_um if track else None,
    )


def _masses(vehicle: Vehicle) -> tuple[int | None, ...]:
    ramp, gate, straps = vehicle.ramp, vehicle.lift_gate, vehicle.straps
    return (
        vehicle.payload_g,
        ramp.rating_g if ramp else None,
        gate.rating_g if gate else None,
        straps.wll_g if straps else None,
    )
