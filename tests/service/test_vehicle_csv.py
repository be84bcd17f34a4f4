"""Vehicles from a CSV file and back: whole, exact, all or nothing, and no formula among them.

Formula cells: OWASP, CSV injection. Everything else is drawn from a seed.
"""

from __future__ import annotations

import csv
import io
import random
import re
from dataclasses import replace
from typing import Any, Final, get_args

import pytest

from server.core.base.units import LengthUnit, MassUnit, Units
from server.core.shop.vehicle import Axles, LiftGate, Narrow, Ramp, Straps, Track, Vehicle
from server.core.shop.vehicle_faults import vehicle_faults
from server.service.csv_table import FORMULA, BadCsv, Fault, looks_like
from server.service.fleet_csv import LAYOUT as CASES
from server.service.records import FleetVehicle
from server.service.vehicle_csv import LAYOUT, read_vehicles, write_vehicles

INCHES: Final = Units("in", "lb")
ALL_UNITS: Final = [Units(one, two) for one in get_args(LengthUnit) for two in get_args(MassUnit)]
HEAD: Final = "id,width,length,height"


def read(text: str, there: dict[str, FleetVehicle] | None = None) -> list[FleetVehicle]:
    return read_vehicles(text.encode(), INCHES, there)


def faults(text: str) -> list[tuple[int, str, str, str]]:
    with pytest.raises(BadCsv) as bad:
        read(text)
    return [(one.row, one.column, one.expected, one.got) for one in bad.value.faults]


def drawn(dice: random.Random, number: int) -> FleetVehicle:
    """Return a vehicle of which any part may be there or not, in any micrometre and gram."""

    def um() -> int:
        return dice.randint(1, 10**8)

    def mass() -> int | None:
        return dice.choice([None, 0, dice.randint(1, 10**8)])

    def narrow() -> Narrow:
        start = dice.randint(0, 10**6)
        return Narrow(start, start + um(), um(), um())

    def axles() -> Axles:
        kind, front = dice.choice(["truck", "kingpin", "ball"]), -dice.randint(1, 6 * 10**6)
        shares = (0.1, 0.15) if kind == "ball" else (None, None)
        empty = (mass() or 0, mass() or 0)
        rear = dice.randint(10**6, 6 * 10**6)
        return Axles(kind, front, rear, *empty, mass(), mass(), mass(), *shares)  # type: ignore[arg-type]

    def maybe(part: Any) -> Any:
        return part() if dice.random() < 0.5 else None

    heights = tuple(sorted({dice.randint(0, 10**7) for _ in range(3)}))
    vehicle = Vehicle(
        id=f"V{number}",
        width_um=um(),
        length_um=um(),
        height_um=um(),
        name=dice.choice(["", "=1+1", "@sum(A1)", "-x", 'a "quoted", one', "Ål"]),
        door_height_um=maybe(um),
        payload_g=mass(),
        narrow=tuple(narrow() for _ in range(dice.randint(0, 3))),
        ramp=maybe(lambda: Ramp(um(), dice.randint(0, 10**6), mass(), dice.random() < 0.5)),
        axles=maybe(axles),
        straps=maybe(lambda: Straps(dice.randint(0, 40), mass())),
        bars=dice.randint(0, 9),
        driver_side=dice.choice(["left", "right"]),
        lift_gate=maybe(lambda: LiftGate(um(), um(), mass())),
        track=maybe(lambda: Track(heights, um())),
    )
    return FleetVehicle(possible(vehicle), dice.randrange(8), dice.random() < 0.3)


def possible(vehicle: Vehicle) -> Vehicle:
    """Return a vehicle without the parts that cannot be; what is refused has its own tests."""
    parts = {"door_height": "door_height_um", "payload": "payload_g"}
    for fault in vehicle_faults(vehicle):
        head = re.split(r"[.[]", fault.field)[0]
        without: dict[str, Any] = {parts.get(head, head): () if head == "narrow" else None}
        vehicle = replace(vehicle, **without)
    return vehicle


@pytest.mark.parametrize("seed", range(60))
def test_what_goes_out_comes_back_to_the_gram_and_micrometre(seed: int) -> None:
    dice = random.Random(seed)
    vehicles = [drawn(dice, number) for number in range(8)]
    units = dice.choice(ALL_UNITS)
    written = write_vehicles(vehicles, units)
    assert read_vehicles(written.encode(dice.choice(["utf-8-sig", "utf-16"])), INCHES) == vehicles
    for cell in (cell for line in csv.reader(io.StringIO(written)) for cell in line):
        # a plain number below zero is a number: an axle ahead of the bulkhead
        assert not cell.startswith(FORMULA) or re.fullmatch(r"-\d+(\.\d+)?", cell)


@pytest.mark.parametrize("seed", range(150))
def test_a_broken_file_is_told_by_row_and_column_and_never_crashes(seed: int) -> None:
    dice = random.Random(seed)
    content = bytearray(write_vehicles([drawn(dice, n) for n in range(4)], INCHES).encode())
    for _ in range(dice.randint(1, 12)):
        place = dice.randrange(len(content))
        match dice.choice(["change", "drop", "insert"]):
            case "change":
                content[place] = dice.randrange(256)
            case "drop":
                del content[place]
            case _:
                content[place:place] = dice.choice([b'"', b",", b"\n", b"\x00", b"\xff", b"nan"])
    told: list[Fault] = []
    try:
        assert read_vehicles(bytes(content), INCHES)
    except BadCsv as bad:
        told = bad.faults
    assert all(one.row >= 1 and one.column and one.expected for one in told)


def test_a_plain_file_becomes_a_vehicle_with_its_parts() -> None:
    (one,) = read(
        f"{HEAD},narrow,ramp_length,deck_height,gate_depth_cm,gate_width_cm,track_heights,"
        "track_pitch,straps,wll,axles,front_at,rear_at,empty_front,empty_rear\n"
        "T9,96,312,96,100 to 140: 84 wide up to 12; 300 to 312: 80.5 wide up to 96,144,34,120,200,"
        "48 18,2,14,1000,truck,-60,188,6300,6900\n"
    )
    vehicle = one.vehicle
    # 1 in = 25.4 mm, 1 lb = 0.45359237 kg exactly (yard and pound agreement of 1959)
    assert vehicle.narrow[1] == Narrow(7_620_000, 7_924_800, 2_044_700, 2_438_400)
    assert vehicle.ramp == Ramp(3_657_600, 863_600)
    assert vehicle.lift_gate == LiftGate(1_200_000, 2_000_000)
    assert vehicle.track == Track((457_200, 1_219_200), 50_800)
    assert vehicle.straps == Straps(14, 453_592)
    assert vehicle.axles == Axles("truck", -1_524_000, 4_775_200, 2_857_632, 3_129_787)


def test_one_cell_changes_one_part_and_leaves_the_rest() -> None:
    before = drawn(random.Random(5), 1)
    ramp = Ramp(3_657_600, 863_600, 453_592, wet=True)
    bare = replace(before.vehicle, ramp=ramp, door_height_um=None, track=None)
    before = replace(before, vehicle=bare)
    sides = ",".join(
        f"{um / 1000}" for um in (before.vehicle.width_um, before.vehicle.length_um, 20_000_000)
    )
    text = f"id,width_mm,length_mm,height_mm,ramp_rating_kg\nV1,{sides},500\n"
    (after,) = read(text, {"V1": before})
    changed = replace(before.vehicle, height_um=20_000_000, ramp=replace(ramp, rating_g=500_000))
    assert after == replace(before, vehicle=changed)


def test_a_file_puts_aside_and_takes_back_and_says_nothing_where_it_has_no_column() -> None:
    sides = "96,312,96"
    (away,) = read(f"{HEAD},aside\nH1,{sides},yes\n")
    assert away.aside
    there = {"H1": away}
    (still,), (back,) = (
        read(f"{HEAD}\nH1,{sides}\n", there),
        read(f"{HEAD},aside\nH1,{sides},\n", there),
    )
    assert (still.aside, back.aside) == (True, False)
    held = {"H1": ["Spring gala"]}
    (again,) = read_vehicles(f"{HEAD},aside\nH1,{sides},yes\n".encode(), INCHES, there, held)
    assert again.aside  # it was already: nothing is asked of it
    with pytest.raises(BadCsv, match=r"row 2, aside: .*open shows have it \(Spring gala\)"):
        read_vehicles(f"{HEAD},aside\nH1,{sides},yes\n".encode(), INCHES, {"H1": back}, held)


def test_new_vehicles_get_marks_of_their_own() -> None:
    vehicles = read(f"{HEAD},mark\nA,1,1,1,\nB,1,1,1,arrow\nC,1,1,1,\n")
    assert [one.mark for one in vehicles] == [0, 7, 2]


# what is wrong → heading beyond the sides, cells, and what is reported for row 2
WRONG: Final[dict[str, tuple[str, str, list[tuple[str, str]]]]] = {
    "a ramp without its deck": ("ramp_length", "144", [("deck_height", "as the line has a ramp")]),
    "a wet ramp that is none": ("ramp_wet", "yes", [("ramp_length", "as the line has a ramp"),
                                                    ("deck_height", "as the line has a ramp")]),
    "a gate of one side": ("gate_depth,gate_width", "48,", [("gate_width", "a lift gate")]),
    "heights without a pitch": ("track_heights", "18", [("track_pitch", "a track")]),
    "a load limit of no straps": ("strap_wll", "1000", [("straps", "has straps")]),
    "axles of which only the kind is known": (
        "axles", "truck",
        [("front_at", "axles"), ("rear_at", "axles"), ("empty_front", "axles"),
         ("empty_rear", "axles")],
    ),
    "axles the wrong way round": (
        "axles,front_at,rear_at,empty_front,empty_rear", "truck,10,5,1,1",
        [("rear_at", "a place behind front_at")],
    ),
    "a ramp shorter than its deck is high": (
        "ramp_length,deck_height", "12,34", [("ramp_length", "more than the deck is high (34 in)")],
    ),
    "a strap of 100 t": ("straps,strap_wll", "4,220462", [("strap_wll", "at most 22,046.2 lb")]),
    "a door above the roof": ("door_height", "500", [("door_height", "the height of the body")]),
    "a tongue's share on a truck": (
        "axles,front_at,rear_at,empty_front,empty_rear,share_max", "truck,0,5,1,1,0.1",
        [("share_max", "only axles of kind ball have it")],
    ),
    "a share in per cent": (
        "axles,front_at,rear_at,empty_front,empty_rear,share_max", "ball,0,5,1,1,15",
        [("share_max", "from 0 to 1")],
    ),
    "a stretch in words": ("narrow", "wheel boxes", [("narrow", "100 to 140: 84 wide up to 12")]),
    "a stretch that ends before it begins": (
        "narrow", "140 to 100: 84 wide up to 12", [("narrow", "stretches such as")],
    ),
    "heights in words": ("track_heights,track_pitch", "low high,2", [("track_heights", "18 48")]),
    "half a strap": ("straps", "2.5", [("straps", "a whole number")]),
    "a side that is none": ("driver_side", "front", [("driver_side", "one of left, right")]),
    "a word that is neither yes nor no": ("aside", "perhaps", [("aside", "yes or no")]),
    "a mark that is none": ("mark", "star", [("mark", "one of disc")]),
    "a room of a million inches": ("door_height", "999999", [("door_height", "at most 1 km")]),
    "a payload below zero": ("payload", "-5", [("payload", "zero or more")]),
}  # fmt: skip


@pytest.mark.parametrize("what", WRONG)
def test_what_no_vehicle_can_be_is_refused_by_its_column(what: str) -> None:
    heading, cells, expected = WRONG[what]
    told = faults(f"{HEAD},{heading}\nT9,96,312,96,{cells}\n")
    assert [(row, column) for row, column, _, _ in told] == [(2, column) for column, _ in expected]
    for (_, _, said, _), (_, words) in zip(told, expected, strict=True):
        assert words in said


def test_ids_are_needed_once_each_and_of_letters_that_an_address_can_hold() -> None:
    assert faults(f"{HEAD}\nA/B,1,1,1\n,1,1,1\nC,1,1,1\nC,2,2,2\n") == [
        (2, "id", "letters, digits, blank and . _ - only", "'A/B'"),
        (3, "id", "a value here", "nothing"),
        (5, "id", "every id once (row 4 has it)", "C"),
    ]
    assert faults(f"{HEAD},photo\nA,1,1,1,x\n")[0][:2] == (1, "photo")
    assert faults(f"{HEAD}\n") == [(2, "id", "at least one vehicle below the heading", "nothing")]
    most = HEAD + "\n" + "".join(f"V{n},1,1,1\n" for n in range(LAYOUT.most + 1))
    assert faults(most)[-1][2] == "at most 1000 vehicles"


def test_a_file_of_vehicles_is_told_from_one_of_cases_by_its_heading() -> None:
    assert looks_like(f"{HEAD}\n".encode(), LAYOUT) and not looks_like(f"{HEAD}\n".encode(), CASES)
    assert looks_like(b"Code;Length;Width;Height\n", CASES)
