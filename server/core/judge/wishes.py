"""Hard rules of the owner's wishes, and each case exactly once."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence

from server.core.judge.scene import BLUR_UM, Scene
from server.core.shop.plan import Plan
from server.core.shop.show import Show


def in_the_wished_vehicle(scene: Scene) -> Iterator[str]:
    """A case that names a vehicle goes in it."""
    for place in scene.places:
        wish = scene.cases[place.code].vehicle
        if wish is not None and wish != scene.vehicle.id:
            yield f"{place.code} is wished in {wish}, not in {scene.vehicle.id}"


def at_the_wished_end(scene: Scene) -> Iterator[str]:
    """Near the bulkhead is row 1, near the door is the last row."""
    last = len(scene.plan.rows) - 1
    for place in scene.places:
        near = scene.cases[place.code].near
        row = scene.row_of[place.code]
        if near == "bulkhead" and row != 0:
            yield f"{place.code} is wished against the bulkhead, not in row {row + 1}"
        if near == "door" and row != last:
            yield f"{place.code} is wished at the door, not in row {row + 1}"


def together_as_wished(scenes: Sequence[Scene]) -> Iterator[str]:
    """Cases of one word stand in one row or in rows that follow each other."""
    found: dict[str, set[tuple[str, int]]] = defaultdict(set)
    for scene in scenes:
        for place in scene.places:
            word = scene.cases[place.code].together
            if word is not None:
                found[word].add((scene.vehicle.id, scene.row_of[place.code]))
    for word, spots in sorted(found.items()):
        rows = sorted(row for _, row in spots)
        apart = len({vehicle for vehicle, _ in spots}) > 1
        if apart or rows[-1] - rows[0] >= len(rows):
            yield f"the cases together as {word!r} are torn apart"


def each_case_once(show: Show, plan: Plan) -> Iterator[str]:
    """Every case of the show stands once, or is left out with a reason; nothing else is there."""
    placed = Counter(place.code for one in plan.vehicles for place in one.places())
    left = Counter(one.code for one in plan.left_out)
    codes = {case.code for case in show.cases}
    for code in sorted(codes):
        count = placed[code] + left[code]
        if count != 1:
            yield f"{code} is " + ("neither placed nor left out" if not count else "there twice")
    for code in sorted((set(placed) | set(left)) - codes):
        yield f"{code} is not a case of this show"
    for one in plan.left_out:
        if not one.reason.strip():
            yield f"{one.code} is left out without a reason"


def each_vehicle_once(show: Show, plan: Plan) -> Iterator[str]:
    """Every vehicle of the plan is booked for the show and stands there once."""
    booked = {vehicle.id for vehicle in show.vehicles}
    for name, count in sorted(Counter(one.vehicle for one in plan.vehicles).items()):
        if name not in booked:
            yield f"{name} is not a vehicle of this show"
        if count > 1:
            yield f"{name} is in the plan more than once"


def total_is_right(plan: Plan) -> Iterator[str]:
    """The floor length is the sum over vehicles, and no bound lies above it."""
    total = sum(one.floor_length_um for one in plan.vehicles)
    if abs(plan.floor_length_um - total) > BLUR_UM * (1 + len(plan.vehicles)):
        yield "the floor length of the plan is not the sum of its vehicles"
    if not plan.left_out and plan.lower_bound_um > plan.floor_length_um + BLUR_UM:
        yield "the lower bound lies above the floor length"
    if plan.proven and plan.lower_bound_um < plan.floor_length_um - BLUR_UM:
        yield "the plan calls itself proven but its bound is shorter"
