"""Small random shows, four to eight cases, one rule foremost in each: what the oracle solves.

The kind goes by the seed, `KINDS[seed % len(KINDS)]`, unless it is asked for by name. Footprints,
heights and masses are drawn from the trade's (common practice, no source); lengths are multiples of
half an inch, so that the oracle can count in whole numbers. Limits are drawn around what the load
asks, so that they often bind.
"""

from __future__ import annotations

import random
from typing import Any

Doc = dict[str, Any]
KINDS = (
    "riders",
    "chains",
    "drops",
    "wishes",
    "narrow",
    "truck",
    "kingpin",
    "ball",
    "two vehicles",
    "lid loads",
    "stances",
)
ALL_KINDS = (*KINDS, "never beside")  # the last is asked for by name
FLOOR = ((45, 30), (45, 22.5), (30, 22.5), (30, 30), (60, 22.5), (48, 20), (36, 24))
SMALL = ((22.5, 22.5), (30, 22.5), (24, 16), (30, 15), (45, 22.5), (20, 20))


def kind_of(seed: int) -> str:
    """Return the kind that a seed has by itself."""
    return KINDS[seed % len(KINDS)]


def small_show(seed: int, kind: str | None = None) -> Doc:
    """Return a show document; same seed and kind, same show."""
    draw = random.Random(seed)
    kind = kind or kind_of(seed)
    level = draw.random() < 0.7 or kind == "chains"
    heights = draw.sample((24, 30, 36), 1 if level else 3)
    share = {"riders": 0.45, "chains": 0.4, "lid loads": 0.45}.get(kind, 0.25)
    drops = draw.randint(2, 3) if kind == "drops" else draw.choice((1, 1, 1, 2))
    cases = [
        _case(draw, f"C{number}", heights, rides=draw.random() < share)
        for number in range(draw.randint(4, 8))
    ]
    for case in cases:
        case["drop"] = draw.randint(1, drops)
    _bend(draw, kind, cases)
    width = draw.choice((60, 67.5, 76, 90, 96)) if kind != "chains" else draw.choice((67.5, 90))
    room: Doc = {"id": "T1", "width": width, "length": 400, "height": 96}
    area = sum(case["length"] * case["width"] for case in cases)
    room["length"] = max(60, round(draw.uniform(1.1, 2.2) * area / width))
    show: Doc = {
        "format": "rowcall-show-1",
        "units": {"length": "in", "mass": "lb"},
        "name": f"{kind} {seed}",
        "rules": {
            "lift_top": draw.choice((60, 60, 72, None)),
            "rider_mass": draw.choice((150, 100, None)),
        },
        "vehicles": [room],
        "cases": cases,
    }
    _vehicles(draw, kind, show)
    return show


def _case(draw: random.Random, code: str, heights: list[int], *, rides: bool) -> Doc:
    length, width = draw.choice(SMALL if rides else FLOOR)
    case: Doc = {
        "code": code,
        "length": length,
        "width": width,
        "height": draw.choice((12, 18, 24)) if rides else draw.choice(heights),
        "mass": draw.randrange(30, 140, 5) if rides else draw.randrange(80, 420, 10),
        "turn": draw.random() < 0.8,
        "rides": rides,
        "stances": ["upright"],
    }
    if draw.random() < (0.3 if rides else 0.75):
        case["lid_load"] = draw.choice((60, 100, 150, 300))
    return case


def _bend(draw: random.Random, kind: str, cases: list[Doc]) -> None:
    """Put the rule of a kind foremost."""
    if kind == "chains":
        for case in cases:
            lid = {"width": 22.5, "lid_load": draw.choice((100, 300)), "turn": False}
            rider = {"width": draw.choice((22.5, 30, 36)), "height": 12}
            case.update(length=30, **(rider if case["rides"] else lid))
    elif kind == "wishes":
        for case in draw.sample(cases, draw.randint(1, 3)):
            _wish(draw, case, cases)
    elif kind == "lid loads":
        for case in [case for case in cases if "lid_load" in case]:
            case["lid_load"] = draw.choice((40, 60, 80, 110, 150))
    elif kind == "stances":
        for case in draw.sample(cases, max(1, len(cases) // 2)):
            case["stances"] = draw.choice((["upright", "on_side"], ["upright", "on_end"]))
    elif kind == "never beside":
        for case in draw.sample(cases, draw.randint(1, 3)):
            others = [one["code"] for one in cases if one is not case]
            case["never_beside"] = draw.sample(others, draw.randint(1, 2))
    if kind in ("riders", "stances", "drops") and draw.random() < 0.5:
        for case in [case for case in cases if not case["rides"]][:3]:
            case.update(length=45, width=30, lid_casters=True)


def _wish(draw: random.Random, case: Doc, cases: list[Doc]) -> None:
    wish = draw.choice(("near", "near", "with", "never_under"))
    if wish == "near":
        case["near"] = draw.choice(("bulkhead", "door"))
    elif wish == "with":
        for one in draw.sample(cases, 2):
            one["with"] = "set"
    else:
        case["never_under"] = [draw.choice(cases)["code"]]


def _vehicles(draw: random.Random, kind: str, show: Doc) -> None:
    """Give the vehicle what its kind is about."""
    room, cases = show["vehicles"][0], show["cases"]
    mass = sum(case["mass"] for case in cases)
    if kind == "narrow":
        start = draw.choice((0, 20, 40, 60))
        room["narrow"] = [
            {
                "from": start,
                "to": start + draw.choice((20, 40, 60)),
                "width": room["width"] - draw.choice((6, 10, 15, 22)),
                "up_to": 12,
            }
        ]
    elif kind == "two vehicles":
        room["length"] = max(50, round(room["length"] * draw.uniform(0.45, 0.8)))
        show["vehicles"].append(
            {
                "id": "T2",
                "width": draw.choice((60, 76, 90)),
                "length": draw.choice((60, 90, 120)),
                "height": draw.choice((60, 96)),
                "payload": round(mass * draw.uniform(0.4, 1.2)),
            }
        )
        if draw.random() < 0.3:
            draw.choice(cases)["vehicle"] = draw.choice(("T1", "T2"))
    elif kind in ("truck", "kingpin", "ball"):
        room["axles"] = _axles(draw, kind, mass, room["length"])


def _axles(draw: random.Random, kind: str, mass: int, length: int) -> Doc:
    """Return axles whose limits lie near what half the load on each would ask."""
    if kind == "ball":
        ahead = draw.choice((36, 40, 50))
        return {
            "kind": "ball",
            "ball_ahead_of_bulkhead": ahead,
            "ball_to_axle": ahead + round(length * draw.uniform(0.35, 0.6)),
            "empty_tongue": draw.choice((90, 120, 160)),
            "empty_axle": draw.choice((900, 1030, 1200)),
        }
    share = draw.uniform(0.3, 0.7)
    if kind == "truck":
        span = draw.choice((120, 160, 200))
        return {
            "kind": "truck",
            "wheelbase": span,
            "front_axle_to_bulkhead": draw.choice((30, 50, 70)),
            "empty_front": 4000,
            "empty_rear": 3500,
            "front_limit": 4000 + round(mass * share * draw.uniform(0.6, 1.3)),
            "rear_limit": 3500 + round(mass * (1 - share) * draw.uniform(1.0, 1.7)),
        }
    return {
        "kind": "kingpin",
        "kingpin_from_bulkhead": draw.choice((10, 20, 36)),
        "kingpin_to_axles": max(60, round(length * draw.uniform(0.5, 0.9))),
        "empty_kingpin": 3000,
        "empty_axles": 6000,
        "kingpin_limit": 3000 + round(mass * share * draw.uniform(1.0, 1.6)),
        "axles_limit": 6000 + round(mass * (1 - share) * draw.uniform(1.0, 1.6)),
    }
