"""Hard rules of room: inside the vehicle, through the door, nothing in one another."""

from __future__ import annotations

from collections.abc import Iterator

from server.core.judge.scene import BLUR_UM, Scene, shared_um2
from server.core.shop.plan import Place


def stands_as_it_may(scene: Scene) -> Iterator[str]:
    """Stance and turn are allowed for the case, and the sides in the plan are the case's sides."""
    for place in scene.places:
        case = scene.cases[place.code]
        if place.stance not in case.stances:
            yield f"{place.code} stands {place.stance}, which its case does not allow"
        if place.turned and not case.turn:
            yield f"{place.code} is turned, which its case does not allow"
        sides = case.standing(place.stance, place.turned)
        given = (place.dx, place.dy, place.dz)
        if any(abs(a - b) > BLUR_UM for a, b in zip(sides, given, strict=True)):
            yield f"{place.code} has other sides in the plan than its case"


def inside(scene: Scene) -> Iterator[str]:
    """Every case lies between the walls, the bulkhead, the door, the floor and the roof."""
    room = scene.vehicle
    for place in scene.places:
        ends = (
            (place.x, place.dx, room.width_um, "the side walls"),
            (place.y, place.dy, room.length_um, "bulkhead and door"),
            (place.z, place.dz, room.height_um, "floor and roof"),
        )
        for start, size, limit, walls in ends:
            if start < -BLUR_UM or start + size > limit + BLUR_UM:
                yield f"{place.code} reaches beyond {walls} of {room.id}"


def clear_of_narrow_stretches(scene: Scene) -> Iterator[str]:
    """Beside a wheel box or in a nose every case keeps to the narrower floor."""
    room = scene.vehicle
    for place in scene.places:
        for stretch in room.narrow:
            low = place.z < stretch.up_to_um - BLUR_UM
            beside = (
                place.y < stretch.to_um - BLUR_UM and place.y + place.dy > stretch.from_um + BLUR_UM
            )
            wall = (room.width_um - stretch.width_um) / 2
            out = place.x < wall - BLUR_UM or place.x + place.dx > room.width_um - wall + BLUR_UM
            if low and beside and out:
                yield f"{place.code} stands in the narrow stretch of {room.id}"


def through_the_door(scene: Scene) -> Iterator[str]:
    """Every single case passes under the door as it stands."""
    for place in scene.places:
        if place.dz > scene.vehicle.passing_height_um + BLUR_UM:
            yield f"{place.code} is too high for the door of {scene.vehicle.id}"


def nothing_overlaps(scene: Scene) -> Iterator[str]:
    """No two cases fill the same space."""
    waiting: list[Place] = []
    for place in sorted(scene.places, key=lambda one: one.y):
        waiting = [one for one in waiting if one.y + one.dy > place.y + BLUR_UM]
        for other in waiting:
            high = min(place.z + place.dz, other.z + other.dz) - max(place.z, other.z)
            if high > BLUR_UM and shared_um2(place, other):
                yield f"{place.code} and {other.code} fill the same space"
        waiting.append(place)
