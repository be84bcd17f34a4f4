"""Random shows in the trade's footprints, by seed: what the planner is measured and tested on.

Footprints, heights, masses and lid loads follow the case table of a touring shop (fractions of a
90 in truck: 22.5, 30, 45 and 60 in; common practice, no source). Every show draws

- one vehicle, 90, 92, 96 or 99 in wide, 96 to 110 in high, long enough for everything;
- 1 to 5 drops;
- a share of 15 to 30 % riders (small cases up to 150 lb, also cubes and halves);
- for the rest a subset of 6 to 10 kinds, each called as often as its weight says;
- masses within the kind's range in steps of 5 lb, heights from the kind's list, so that two
  cases of one kind are seldom twins; lids that carry nothing, a little or much.

Same arguments, same show: only `random.Random(seed)` is drawn from, in a fixed order.
"""

from __future__ import annotations

import random
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class Kind:
    """A kind of case: inches and pounds; `lid` is what the lid carries, None for nothing."""

    name: str
    length: float
    width: float
    heights: tuple[float, ...]
    mass: tuple[int, int]
    lid: int | None
    weight: int
    turn: bool = True
    lid_casters: bool = False
    stances: tuple[str, ...] = ("upright",)


HOSTS = (
    Kind("half trunk, cable", 45, 22.5, (30,), (250, 400), 300, 8),
    Kind("big trunk", 45, 30, (30, 36), (300, 520), 400, 8),
    Kind("motor case", 30, 22.5, (24, 30), (280, 400), 300, 6),
    Kind("moving lights, two", 45, 30, (36,), (200, 320), 250, 8),
    Kind("work box", 45, 30, (60,), (350, 600), None, 3),
    Kind("amp rack", 30, 22.5, (36, 42), (200, 400), None, 5),
    Kind("dimmer rack", 30, 30, (60,), (350, 500), None, 3),
    Kind("power distro", 30, 30, (45,), (250, 350), 150, 3),
    Kind("mic stands", 60, 22.5, (24,), (180, 250), 200, 2),
    Kind("console on edge", 60, 22.5, (48,), (200, 450), None, 1),
    Kind("subwoofer", 45, 30, (30,), (180, 280), 300, 5, lid_casters=True),
    Kind("props", 45, 30, (36,), (120, 200), 200, 3),
    Kind("wardrobe", 45, 22.5, (66,), (120, 200), None, 2),
    Kind("drum trunk", 45, 30, (36,), (180, 280), 200, 2),
    Kind("stands, may tip", 48, 20, (24,), (120, 180), None, 1, stances=("upright", "on_end")),
)
RIDERS = (
    Kind("cube, mics", 22.5, 22.5, (24,), (70, 140), 100, 5),
    Kind("wash lights", 30, 22.5, (24,), (100, 150), None, 5),
    Kind("monitor wedges", 45, 22.5, (18, 24), (90, 150), None, 4),
    Kind("pads", 30, 22.5, (18,), (60, 80), None, 3),
    Kind("tool case", 30, 30, (18,), (80, 140), None, 2),
)


def make_show(cases: int, seed: int) -> dict[str, Any]:
    """Return a show document with this many cases."""
    draw = random.Random(seed * 1_000_003 + cases)
    drops = draw.randint(1, 5)
    share = draw.uniform(0.15, 0.30)
    kinds = draw.sample(HOSTS, draw.randint(6, 10))
    small = draw.sample(RIDERS, draw.randint(2, len(RIDERS)))
    riders = round(cases * share)
    called = []
    for number in range(cases):
        among = small if number < riders else kinds
        kind = draw.choices(among, [each.weight for each in among])[0]
        called.append(_case(draw, kind, f"C-{number + 1:03d}", drops, rides=number < riders))
    vehicle = {
        "id": "T1",
        "width": draw.choice((90, 92, 96, 99)),
        "length": 120 + 30 * cases,
        "height": draw.choice((96, 104, 110)),
    }
    return {
        "format": "rowcall-show-1",
        "units": {"length": "in", "mass": "lb"},
        "name": f"random show {cases}-{seed}",
        "vehicles": [vehicle],
        "cases": called,
    }


def _case(draw: random.Random, kind: Kind, code: str, drops: int, *, rides: bool) -> dict[str, Any]:
    """Return one case of a kind with its own mass, height and drop."""
    low, high = kind.mass
    case: dict[str, Any] = {
        "code": code,
        "name": kind.name,
        "length": kind.length,
        "width": kind.width,
        "height": draw.choice(kind.heights),
        "mass": draw.randrange(low, high + 5, 5),
        "drop": draw.randint(1, drops),
        "turn": kind.turn,
        "rides": rides,
        "lid_casters": kind.lid_casters,
        "stances": list(kind.stances),
    }
    if kind.lid is not None:
        case["lid_load"] = kind.lid
    return case


TRAILERS = ((98.5, 636, 108), (96, 600, 104), (92, 570, 100))
TOURING = (
    Kind("half trunk, cable", 45, 22.5, (30,), (200, 320), 350, 6, lid_casters=True),
    Kind("motor case", 30, 22.5, (24, 30), (200, 300), 320, 5, lid_casters=True),
    Kind("amp rack", 30, 22.5, (36,), (200, 300), None, 4),
    Kind("power distro", 30, 30, (45,), (200, 300), 150, 2),
    Kind("moving lights, two", 45, 30, (36,), (200, 280), 300, 3, lid_casters=True),
    Kind("work box", 45, 30, (60,), (300, 400), None, 1),
)


def make_tour(cases: int, seed: int) -> dict[str, Any]:
    """Return a show of touring kinds, most of which stack, for three trailers with payloads."""
    draw = random.Random(seed * 1_000_003 + cases + 1)
    drops = draw.randint(1, 3)
    riders = round(cases * 0.3)
    called = []
    for number in range(cases):
        among = RIDERS if number < riders else TOURING
        kind = draw.choices(among, [each.weight for each in among])[0]
        called.append(_case(draw, kind, f"C-{number + 1:03d}", drops, rides=number < riders))
    return {
        "format": "rowcall-show-1",
        "units": {"length": "in", "mass": "lb"},
        "name": f"random tour {cases}-{seed}",
        "vehicles": [
            {"id": f"T{i + 1}", "width": w, "length": n, "height": h, "payload": 45_000}
            for i, (w, n, h) in enumerate(TRAILERS)
        ],
        "cases": called,
    }
