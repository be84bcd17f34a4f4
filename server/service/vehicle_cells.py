"""A vehicle laid flat: one value a column of a file, and back into its parts.

Columns that the file has not keep what the vehicle had before, so a part may change by one cell.
Lengths in micrometres, masses in grams.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from typing import Any, Final, Literal, get_args

from server.core.base.units import Units, to_um
from server.core.shop.vehicle import AxleKind, Axles, LiftGate, Narrow, Ramp, Straps, Track, Vehicle
from server.core.shop.vehicle_faults import vehicle_faults
from server.service.csv_cells import ABOVE_ZERO, MOST_INSIDE, Cells, WrongCell, number_of
from server.service.records import FleetVehicle

Flat = dict[str, Any]
# A vehicle's mark, by which screens tell it apart, as the office calls the eight shapes.
MARKS: Final = ("disc", "square", "triangle", "diamond", "hexagon", "cross", "shield", "arrow")
SIDES: Final[tuple[Literal["left", "right"], ...]] = ("left", "right")
KINDS: Final[tuple[AxleKind, ...]] = get_args(AxleKind)
VEHICLE_ID: Final = re.compile(r"[A-Za-z0-9][A-Za-z0-9 ._-]*")
MOST_NARROW, MOST_HEIGHTS, MOST_GEAR = 20, 10, 1_000
ANY: Final = "a number"
NARROW_SAYS: Final = "stretches such as 100 to 140: 84 wide up to 12; 300 to 312: 80 wide up to 90"
STRETCH: Final = re.compile(
    r"([\d.,]+)\s+to\s+([\d.,]+)\s*:\s*([\d.,]+)\s+wide\s+up\s+to\s+([\d.,]+)", re.IGNORECASE
)
RAMP: Final = ("ramp_length", "deck_height", "ramp_rating")
GATE: Final = ("gate_depth", "gate_width", "gate_rating")
TRACK: Final = ("track_heights", "track_pitch")
STRAPS: Final = ("straps", "strap_wll")
AXLES: Final = (
    "axles", "front_at", "rear_at", "empty_front", "empty_rear", "front_limit", "rear_limit",
    "gross_limit", "share_min", "share_max",
)  # fmt: skip
# What a new vehicle has where its file says nothing.
BLANK: Final[Flat] = {
    **dict.fromkeys((*RAMP, *GATE, *TRACK, *STRAPS, *AXLES, "door_height", "payload")),
    "name": "",
    "driver_side": "left",
    "narrow": (),
    "bars": 0,
    "ramp_wet": False,
    "aside": False,
}


def laid_flat(one: FleetVehicle) -> Flat:
    """Return a vehicle as one value a column; None is an empty cell."""
    vehicle = one.vehicle
    ramp, gate, track = vehicle.ramp, vehicle.lift_gate, vehicle.track
    axles, straps = vehicle.axles, vehicle.straps
    flat: Flat = {
        "id": vehicle.id,
        "name": vehicle.name,
        "mark": one.mark,
        "aside": one.aside,
        "driver_side": vehicle.driver_side,
        "width": vehicle.width_um,
        "length": vehicle.length_um,
        "height": vehicle.height_um,
        "door_height": vehicle.door_height_um,
        "payload": vehicle.payload_g,
        "narrow": vehicle.narrow,
        "bars": vehicle.bars,
        "ramp_wet": bool(ramp and ramp.wet),
    }
    parts: tuple[tuple[tuple[str, ...], object, tuple[str, ...]], ...] = (
        (RAMP, ramp, ("length_um", "deck_height_um", "rating_g")),
        (GATE, gate, ("deep_um", "wide_um", "rating_g")),
        (TRACK, track, ("heights_um", "pitch_um")),
        (STRAPS, straps, ("count", "wll_g")),
        (AXLES, axles, ("kind", "front_at_um", "rear_at_um", "empty_front_g", "empty_rear_g",
                        "front_limit_g", "rear_limit_g", "gross_limit_g", "share_min",
                        "share_max")),
    )  # fmt: skip
    for columns, part, fields in parts:
        for column, field in zip(columns, fields, strict=True):
            flat[column] = getattr(part, field) if part is not None else None
    return flat


def read_flat(read: Cells, columns: Iterable[str]) -> Flat:
    """Return what a line says, one value for each column that the file has."""
    above = ("door_height", "ramp_length", "gate_depth", "gate_width", "track_pitch")
    readers: dict[str, Callable[[str], Any]] = {
        "id": lambda column: _id(read, column),
        "name": lambda column: read.text(column, 80),
        "mark": lambda column: _mark(read, column),
        "driver_side": lambda column: _word(read, column, SIDES) or "left",
        "narrow": lambda column: _narrow(read, column),
        **dict.fromkeys(("ramp_wet", "aside"), lambda column: read.yes(column, default=False)),
        "deck_height": read.length,
        "track_heights": lambda column: _heights(read, column),
        "straps": lambda column: _count(read, column),
        "bars": lambda column: _count(read, column) or 0,
        "axles": lambda column: _word(read, column, KINDS),
        **dict.fromkeys(
            ("width", "length", "height"),
            lambda column: read.length(column, ABOVE_ZERO, required=True) or 0,
        ),
        **dict.fromkeys(above, lambda column: read.length(column, ABOVE_ZERO)),
        **dict.fromkeys(("front_at", "rear_at"), lambda column: read.length(column, ANY)),
        **dict.fromkeys(("share_min", "share_max"), lambda column: _share(read, column)),
    }
    return {column: readers.get(column, read.mass)(column) for column in columns}


def built(flat: Flat, read: Cells, units: Units) -> FleetVehicle:
    """Return the vehicle of flat values; WrongCell with every fault of its line."""
    ramp = _part(flat, read, RAMP, 2, "a ramp", there=flat["ramp_wet"])
    gate = _part(flat, read, GATE, 2, "a lift gate")
    track = _part(flat, read, TRACK, 2, "a track")
    straps = _part(flat, read, STRAPS, 1, "straps")
    axles = _part(flat, read, AXLES, 5, "axles")
    if axles:
        _axles_make_sense(flat, read)
    if read.faults:
        raise WrongCell(read.faults)
    vehicle = Vehicle(
        id=flat["id"],
        name=flat["name"],
        width_um=flat["width"],
        length_um=flat["length"],
        height_um=flat["height"],
        door_height_um=flat["door_height"],
        payload_g=flat["payload"],
        narrow=flat["narrow"],
        ramp=Ramp(ramp[0], ramp[1], ramp[2], flat["ramp_wet"]) if ramp else None,
        axles=Axles(*axles) if axles else None,
        straps=Straps(*straps) if straps else None,
        bars=flat["bars"],
        driver_side=flat["driver_side"],
        lift_gate=LiftGate(*gate) if gate else None,
        track=Track(*track) if track else None,
    )
    for fault in vehicle_faults(vehicle, units):
        read.wrong(_column(fault.field), fault.expected, fault.got)
    if read.faults:
        raise WrongCell(read.faults)
    return FleetVehicle(vehicle, flat["mark"], flat["aside"])


def _column(field: str) -> str:
    """Return the column of a field that a vehicle cannot have so."""
    known = {"ramp.length": "ramp_length", "ramp.rating": "ramp_rating", "straps.wll": "strap_wll"}
    known["lift_gate.rating"] = "gate_rating"
    head = field.partition("[")[0]
    heads = {"track.heights": "track_heights", "narrow": "narrow"}
    return known.get(field) or heads.get(head) or field.removeprefix("axles.")


def _part(
    flat: Flat,
    read: Cells,
    columns: tuple[str, ...],
    needed: int,
    what: str,
    *,
    there: bool = False,
) -> tuple[Any, ...]:
    """Return a part's values, none where all are empty; the first `needed` must be filled."""
    values = tuple(flat[column] for column in columns)
    if not there and all(value is None for value in values):
        return ()
    told = {column for column, _, _ in read.faults}
    for column, value in zip(columns[:needed], values, strict=False):
        if value is None and column not in told:
            read.wrong(column, f"a value, as the line has {what}", "nothing")
    return values


def _axles_make_sense(flat: Flat, read: Cells) -> None:
    front, rear = flat["front_at"], flat["rear_at"]
    if front is not None and rear is not None and rear <= front:
        read.wrong("rear_at", "a place behind front_at", repr(read.cell("rear_at")))
    least, most = flat["share_min"], flat["share_max"]
    if flat["axles"] == "kingpin" and least is not None:
        read.wrong("share_min", "an empty cell: axles of kind kingpin have none", f"{least}")
    if flat["axles"] != "ball" and most is not None:
        read.wrong("share_max", "an empty cell: only axles of kind ball have it", f"{most}")
    elif least is not None and most is not None and least > most:
        read.wrong("share_max", "no less than share_min", f"{most}")


def _id(read: Cells, column: str) -> str:
    text = read.text(column, 60, required=True)
    if text and not VEHICLE_ID.fullmatch(text):
        read.wrong(column, "letters, digits, blank and . _ - only", repr(text[:40]))
    return text


def _word(read: Cells, column: str, words: tuple[str, ...]) -> str | None:
    text = read.cell(column).lower()
    if text and text not in words:
        read.wrong(column, f"one of {', '.join(words)}", repr(text[:40]))
    return text or None


def _mark(read: Cells, column: str) -> int | None:
    word = _word(read, column, MARKS)
    return MARKS.index(word) if word in MARKS else None


def _count(read: Cells, column: str) -> int | None:
    value = read.number(column)
    if value is None:
        return None
    if value != int(value) or value > MOST_GEAR:
        read.wrong(column, f"a whole number of at most {MOST_GEAR}", repr(read.cell(column)[:40]))
    return int(value)


def _share(read: Cells, column: str) -> float | None:
    value = read.number(column)
    if value is not None and value > 1:
        read.wrong(column, "a share from 0 to 1, such as 0.15", repr(read.cell(column)[:40]))
    return value


def _heights(read: Cells, column: str) -> tuple[int, ...] | None:
    """Read `18 48`: heights of the anchors above the floor."""
    text = read.cell(column)
    found = [_inside(read, column, part) for part in text.replace(";", " ").split()]
    if len(found) > MOST_HEIGHTS or any(one is None for one in found):
        expected = f"at most {MOST_HEIGHTS} heights with blanks between, such as 18 48"
        read.wrong(column, expected, repr(text[:40]))
    return tuple(sorted({one for one in found if one is not None})) or None


def _narrow(read: Cells, column: str) -> tuple[Narrow, ...]:
    """Read `100 to 140: 84 wide up to 12`, stretches with a semicolon between."""
    parts = [part.strip() for part in read.cell(column).split(";") if part.strip()]
    if len(parts) > MOST_NARROW:
        read.wrong(column, f"at most {MOST_NARROW} stretches", f"{len(parts)}")
        return ()
    found = []
    for part in parts:
        said = STRETCH.fullmatch(part)
        values = [_inside(read, column, text) for text in said.groups()] if said else [None]
        try:
            found.append(Narrow(*[one for one in values if one is not None]))
        except (TypeError, ValueError):  # too few numbers, or a stretch that is none
            read.wrong(column, NARROW_SAYS, repr(part[:60]))
    return tuple(found)


def _inside(read: Cells, column: str, text: str) -> int | None:
    """Return a length of zero or more in micrometres, None where the text is none."""
    value = number_of(text)
    found = None if value is None or value < 0 else to_um(value, read.unit(column))
    return found if found is not None and found <= MOST_INSIDE else None
