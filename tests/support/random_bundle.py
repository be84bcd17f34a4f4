"""Bundles made at random from a seed: some vehicles, rows, riders, spares, checks."""

from __future__ import annotations

from random import Random
from typing import Any, Final

Document = dict[str, Any]
INCH = 25_400

RAMP: Final[Document] = {
    "length_um": 144 * INCH,
    "deck_height_um": 34 * INCH,
    "rating_g": None,
    "wet": False,
}


def random_bundle(random: Random, cases: int) -> Document:
    """Return a bundle of about so many planned cases."""
    vehicles = [_vehicle(random, f"T{k + 1}", k) for k in range(random.randint(1, 3))]
    codes = [f"K{number:03d}" for number in range(cases)]
    for vehicle in vehicles:
        share = [code for at, code in enumerate(codes) if at % len(vehicles) == vehicle["mark"]]
        _fill(random, vehicle, share)
    planned = {code: sheet["id"] for sheet in vehicles for code in sheet["load"]}
    fleet = [*codes, *(f"S{number}" for number in range(5))]
    return {
        "format": "rowcall-bundle-1",
        "server": "test",
        "show": {"id": "show", "name": "Random night", "date": "2027-04-18"},
        "revision": 1,
        "units": {"length": "in", "mass": "lb"},
        "rules": {
            "slack_limit_um": random.choice([None, 3 * INCH]),
            "securing": "us-49cfr393",
        },
        "vehicles": vehicles,
        "cases": {code: _card(random, code, planned.get(code)) for code in fleet},
        "checks": [
            {
                "id": name,
                "move": move,
                "scope": "show" if name == "dock" else "vehicle",
                "text": {"en": name},
                "gate": name,
                "photo": False,
            }
            for move in ("shop_load", "load_in", "load_out")
            for name in ("ramp", "dock")
        ],
        "walk": [{"id": name, "text": {"en": name}} for name in ("stage", "street")],
    }


def _vehicle(random: Random, name: str, mark: int) -> Document:
    axles = {
        "kind": random.choice(["truck", "ball"]),
        "front_at_um": random.randint(-60, 60) * INCH,
        "rear_at_um": random.randint(100, 250) * INCH,
        "empty_front_g": 3_000_000,
        "empty_rear_g": 3_000_000,
        "front_limit_g": random.choice([None, 3_300_000]),
        "rear_limit_g": random.choice([None, 3_700_000]),
        "gross_limit_g": random.choice([None, 7_000_000]),
        "share_min": random.choice([None, 0.45]),
        "share_max": random.choice([None, 0.55]),
    }
    return {
        "id": name,
        "name": name,
        "mark": mark,
        "width_um": 96 * INCH,
        "length_um": 312 * INCH,
        "height_um": 96 * INCH,
        "payload_g": random.choice([None, 800_000, 4_000_000]),
        "driver_side": "left",
        "straps": random.choice([None, {"count": 9, "wll_g": random.choice([None, 900_000])}]),
        "bars": 0,
        "floor_length_um": 0,
        "mass_g": 0,
        "axles": random.choice([None, axles]),
        "ramp": random.choice([None, RAMP, RAMP | {"rating_g": 900_000}]),
        "rows": [],
        "load": [],
        "unload": [],
        "briefing": [],
    }


def _fill(random: Random, vehicle: Document, codes: list[str]) -> None:
    """Stand cases in rows of up to four, with now and then a rider on the first."""
    start, number = 0, 1
    left = list(codes)
    while left:
        size = random.randint(1, 5)
        taken, left = left[:size], left[size:]
        depth = random.randint(15, 45) * INCH
        across = 90 * INCH // max(1, min(4, len(taken)))
        places = [
            {
                "code": code,
                "x": (at % 4) * across,
                "y": start,
                "z": 0 if at < 4 else 30 * INCH,
                "dx": across,
                "dy": depth - random.randint(0, 3),
                "dz": 30 * INCH,
                "stance": "upright",
                "turned": False,
                "on": [] if at < 4 else [taken[0]],
                "side": "driver",
                "push": 1,
                "lift": 0,
                "cards": [],
            }
            for at, code in enumerate(taken)
        ]
        vehicle["rows"].append(
            {
                "number": number,
                "start_um": start,
                "depth_um": depth,
                "slack_um": random.choice([0, 2, 6]) * INCH,
                "straps": random.randint(0, 2),
                "why": {},
                "fill": None,
                "places": places,
            }
        )
        vehicle["load"] += taken
        start, number = start + depth, number + 1
    vehicle["unload"] = vehicle["load"][::-1]
    vehicle["floor_length_um"] = start


def _card(random: Random, code: str, vehicle: str | None) -> Document:
    return {
        "code": code,
        "name": code,
        "department": "audio",
        "home": random.choice(["A", "B", "é", ""]),
        "length_um": 30 * INCH,
        "width_um": 22 * INCH,
        "height_um": 30 * INCH,
        "mass_g": random.randint(1, 200_000),
        "drop": None if vehicle is None else random.randint(1, 3),
        "owner": "",
        "state": random.choice(["good"] * 9 + ["damaged"]),
        "vehicle": vehicle,
        "last_seen": None,
    }
