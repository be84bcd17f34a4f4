"""Random shows with everything at once: narrow floors, axles, wishes, stances, several vehicles."""

from __future__ import annotations

import random
from typing import Any

from tests.bench.show_generator import make_show


def odd_show(seed: int) -> dict[str, Any]:
    """Return a small show document that bends as many rules as the seed brings."""
    draw = random.Random(seed)
    document = make_show(draw.choice((3, 5, 8, 12)), seed)
    vehicle = document["vehicles"][0]
    vehicle["length"] = draw.choice((200, 312, 400))
    vehicle["door_height"] = draw.choice((66, 72, 90))
    if draw.random() < 0.3:
        width = vehicle["width"] - draw.choice((6, 10, 30))
        vehicle["narrow"] = [{"from": 100, "to": 140, "width": width, "up_to": 12}]
    if draw.random() < 0.3:
        vehicle["payload"] = draw.choice((2000, 5000, 9000))
    if draw.random() < 0.3:
        vehicle["axles"] = {
            "kind": "truck",
            "wheelbase": 248,
            "front_axle_to_bulkhead": 60,
            "empty_front": 6300,
            "empty_rear": 6900,
            "front_limit": draw.choice((7500, 9000, 12000)),
            "rear_limit": draw.choice((9000, 12000, 17500)),
        }
    if draw.random() < 0.3:
        second = {**vehicle, "id": "T2", "width": 90, "length": 192}
        second.pop("narrow", None)
        document["vehicles"].append(second)
    if draw.random() < 0.3:
        document["rules"] = {"lift_top": None, "rider_mass": None}
    for case in document["cases"]:
        _bend(draw, case, document["cases"][0]["code"])
    return document


def _bend(draw: random.Random, case: dict[str, Any], first: str) -> None:
    chance = draw.random()
    if chance < 0.04:
        case["near"] = draw.choice(("bulkhead", "door"))
    elif chance < 0.12:
        case["with"] = draw.choice("ab")
    elif chance < 0.2:
        case["vehicle"] = "T1"
    elif chance < 0.25:
        case["never_under"] = [first]
    if draw.random() < 0.2:
        case["lid_casters"] = True
    if draw.random() < 0.1:
        case["stances"] = ["upright", "on_side"]
