"""Shows in which every rule may bind, by two generators.

`all` draws, over the footprints of `show_generator`, per seed (shares are of the seeds):

- axles in 50 %: a truck, a kingpin or a ball in equal parts. The load's centre may lie in a window
  of 6 to 18 % of the floor that the load asks, with its middle at 40 to 60 % of that floor;
- a narrow stretch (wheel boxes) in 40 %: 30 to 60 in long, 6 to 15 in narrower, 12 in high;
- 1 to 3 wishes at bulkhead or door in 40 %, two words of 2 or 3 cases to stay together in 30 %;
- 1 to 4 pairs each of never_under and never_beside in 30 %;
- limits of hands: a lift top of 60 in or none, riders up to 150 lb, 100 lb or any;
- floor of 1.05 to 1.6 times what the area asks.

Shows of `all` may have no lawful plan: an answer is right if it is lawful, or says so with a proof,
or says that none was found. `planted` draws other distributions: rows are cut from the full width
at random in half inches, all cases of a row as deep as it is, then ordered and given drops; in 40 %
the third row is cut from a narrow stretch, in 50 % a quarter of the low cases carry a rider as
large as they are, in 50 % two cases of neighbouring rows are to stay together, in 40 % each a pair
is named under never_under or never_beside, in 80 % an axle window lies around that very order; a
wish at each end; shuffled; the vehicle is as long as the rows. The optimum is known, by area.
"""

from __future__ import annotations

import random
from itertools import pairwise
from typing import Any

from tests.bench.show_generator import make_show

Doc = dict[str, Any]


def all_rules_show(cases: int, seed: int) -> Doc:
    """Return a show document in which every rule may bind; same arguments, same show."""
    show = make_show(cases, seed)
    draw = random.Random(seed * 7_919 + cases)
    (room,) = show["vehicles"]
    area = sum(case["length"] * case["width"] for case in show["cases"] if not case["rides"])
    floor = area / room["width"]
    room["length"] = max(120, round(floor * draw.uniform(1.05, 1.6)))
    show["rules"] = {
        "lift_top": draw.choice((60, 60, None)),
        "rider_mass": draw.choice((150, 150, 100, None)),
    }
    if draw.random() < 0.5:
        room["axles"] = _axles(draw, sum(case["mass"] for case in show["cases"]), floor)
    if draw.random() < 0.4:
        start = draw.randrange(20, max(21, round(floor * 0.8)))
        width = room["width"] - draw.choice((6, 10, 15))
        stretch = {"from": start, "to": start + draw.choice((30, 45, 60)), "width": width}
        room["narrow"] = [{**stretch, "up_to": 12}]
    _wishes(draw, show["cases"])
    return show


def _wishes(draw: random.Random, cases: list[Doc]) -> None:
    if draw.random() < 0.4:
        for case in draw.sample(cases, draw.randint(1, 3)):
            case["near"] = draw.choice(("bulkhead", "door"))
            drops = [one["drop"] for one in cases]
            case["drop"] = max(drops) if case["near"] == "bulkhead" else min(drops)
    if draw.random() < 0.3:
        for word in ("set", "kit"):
            some = draw.sample(cases, draw.choice((2, 3)))
            for case in some:
                case.update(drop=some[0]["drop"], **{"with": word})
                case.pop("near", None)
    for rule in ("never_under", "never_beside"):
        if draw.random() < 0.3:
            for _ in range(draw.randint(1, 4)):
                one, other = draw.sample(cases, 2)
                one[rule] = [*one.get(rule, []), other["code"]]


def _axles(draw: random.Random, mass: int, floor: float) -> Doc:
    """Return axles that let the load's centre lie in a window of the floor it asks."""
    middle, half = draw.uniform(0.4, 0.6) * floor, draw.uniform(0.25, 0.7) * floor / 8
    kind = draw.choice(("truck", "kingpin", "ball"))
    if kind == "ball":
        ahead, empty = 40, (150, 1500)
        # Share of the tongue at both ends of the window, by moments about the axle.
        axle = middle + 0.12 * (middle + ahead)
        span = axle + ahead
        gross = mass + sum(empty)
        shares = [
            (empty[0] + mass * (axle - at) / span) / gross for at in (middle + half, middle - half)
        ]
        return {
            "kind": "ball",
            "ball_ahead_of_bulkhead": ahead,
            "ball_to_axle": span,
            "empty_tongue": empty[0],
            "empty_axle": empty[1],
            "tongue_share_min": max(0.0, min(shares)),
            "tongue_share_max": min(1.0, max(shares)),
        }
    front, span = -30.0 if kind == "truck" else 20.0, max(100.0, 0.9 * floor)
    rear = [mass * (at - front) / span for at in (middle - half, middle + half)]
    names = (
        ("wheelbase", "front_axle_to_bulkhead", "front", "rear")
        if kind == "truck"
        else ("kingpin_to_axles", "kingpin_from_bulkhead", "kingpin", "axles")
    )
    return {
        "kind": kind,
        names[0]: span,
        names[1]: abs(front),
        f"empty_{names[2]}": 5000,
        f"empty_{names[3]}": 5000,
        f"{names[2]}_limit": max(5001, 5000 + mass - rear[0] + 1),
        f"{names[3]}_limit": max(5001, 5000 + rear[1] + 1),
    }


def planted_show(cases: int, seed: int) -> tuple[Doc, float]:
    """Return a show cut from full rows, and the floor of those rows, which none undercuts."""
    draw = random.Random(seed * 104_729 + cases)
    width = draw.choice((80, 88, 93.5, 98))
    narrow = width - draw.choice((6, 10)) if draw.random() < 0.4 else None
    rows: list[list[Doc]] = []
    while sum(map(len, rows)) < cases:
        slim = narrow is not None and len(rows) == 2
        rows.append(_row(draw, narrow if slim and narrow else width, len(rows)))
    length = sum(row[0]["length"] for row in rows)
    drops = draw.randint(1, 4)
    for index, row in enumerate(rows):
        for case in row:
            case["drop"] = drops - index * drops // len(rows)
    if draw.random() < 0.5:
        for row in rows:
            low = [case for case in row if case["height"] < 48]
            row += [_rider(draw, case) for case in low if draw.random() < 0.25]
    rows[0][0]["near"], rows[-1][0]["near"] = "bulkhead", "door"
    if draw.random() < 0.5:
        at = draw.randrange(1, len(rows) - 2)
        rows[at][0]["with"] = rows[at + 1][0]["with"] = "set"
    for rule in ("never_under", "never_beside"):
        if draw.random() < 0.4:
            one, other = draw.sample(rows, 2)
            one[0][rule] = [other[0]["code"]]
    room = {"id": "T1", "width": width, "length": length, "height": 90}
    if narrow is not None:
        start = rows[0][0]["length"] + rows[1][0]["length"]
        end = start + rows[2][0]["length"]
        room["narrow"] = [{"from": start, "to": end, "width": narrow, "up_to": 12}]
    if draw.random() < 0.8:
        room["axles"] = _axles_around(draw, rows, length)
    called = [case for row in rows for case in row]
    draw.shuffle(called)
    show = {"format": "rowcall-show-1", "name": f"planted {cases}-{seed}", "vehicles": [room]}
    return {**show, "cases": called}, length


def _rider(draw: random.Random, host: Doc) -> Doc:
    """Return a case that rides on the lid of a host, which bears it and no more."""
    mass = draw.randrange(20, 145, 5)
    host["lid_load"] = mass + draw.choice((0, 50))
    return {
        "code": f"{host['code']}-up",
        "length": host["length"] - draw.choice((0, 4)),
        "width": host["width"] - draw.choice((0, 2)),
        "height": draw.choice((12, 18)),
        "mass": mass,
        "rides": True,
        "turn": False,
        "drop": host["drop"],
    }


def _axles_around(draw: random.Random, rows: list[list[Doc]], length: float) -> Doc:
    """Return the axles of a truck that a load in this very order keeps, with little to spare."""
    start, moment, mass = 0.0, 0.0, 0
    for row in rows:
        for case in row:
            moment += case["mass"] * (start + case["length"] / 2)
            mass += case["mass"]
        start += row[0]["length"]
    wheelbase = round(0.7 * length) + 40
    rear = (moment + 40 * mass) / wheelbase
    slack = mass * draw.uniform(0.002, 0.02)
    return {
        "kind": "truck",
        "wheelbase": wheelbase,
        "front_axle_to_bulkhead": 40,
        "empty_front": 4000,
        "empty_rear": 4000,
        "front_limit": max(4001, 4000 + mass - rear + slack),
        "rear_limit": max(4001, 4000 + rear + slack),
    }


def _row(draw: random.Random, width: float, number: int) -> list[Doc]:
    """Return cases that fill a row from wall to wall, all as deep as it is."""
    parts = draw.randint(2, 4)
    while True:
        cuts = sorted(draw.sample(range(24, round(2 * width) - 23), parts - 1))
        edges = [0, *cuts, round(2 * width)]
        sides = [(b - a) / 2 for a, b in pairwise(edges)]
        if min(sides) >= 12:
            break
    depth = draw.randrange(40, 121) / 2
    return [
        {
            "code": f"R{number}-{place}",
            "length": depth,
            "width": side,
            "height": draw.choice((24, 36, 60)),
            "mass": draw.randrange(60, 500, 5),
            "turn": draw.random() < 0.5 and depth != side,
        }
        for place, side in enumerate(sides)
    ]
