"""What holds each floor case, judged from nothing but places: no code of the calculation.

Rays leave every case towards the four sides; a ray that meets a wall or a case within 15 cm (CTU
Code) finds a contact there. A claim that something holds a case where no ray does is a fault.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Final

from server.core.judge.scene import Scene
from server.core.shop.plan import Place

OPEN_UM: Final = 150_000  # CTU Code, informative material 5, 1.1.3, said here apart
RAYS: Final = 16
WAYS: Final = ("forward", "rearward", "left", "right")


def nearest_um(scene: Scene, place: Place, way: str) -> int:
    """Return how far the nearest wall or floor case is, over rays that leave one side."""
    others = [one for one in scene.places if one.code != place.code and one.z == 0]
    along = way in {"forward", "rearward"}
    start, size = (place.x, place.dx) if along else (place.y, place.dy)
    found = []
    for ray in range(RAYS + 1):
        at = start + 1 + (size - 2) * ray // RAYS
        found.append(min(_gaps(scene, place, way, at, others)))
    return min(found)


def _gaps(scene: Scene, place: Place, way: str, at: int, others: Iterable[Place]) -> Iterator[int]:
    room = scene.vehicle
    yield {
        "forward": place.y,
        "rearward": room.length_um - place.y - place.dy,
        "left": place.x,
        "right": room.width_um - place.x - place.dx,
    }[way]
    for one in others:
        if way in {"forward", "rearward"} and one.x < at < one.x + one.dx:
            gap = place.y - one.y - one.dy if way == "forward" else one.y - place.y - place.dy
        elif way in {"left", "right"} and one.y < at < one.y + one.dy:
            gap = place.x - one.x - one.dx if way == "left" else one.x - place.x - place.dx
        else:
            continue
        if gap >= -2:
            yield max(0, gap)


def false_claims(scene: Scene, claims: Mapping[str, Iterable[tuple[str, str]]]) -> Iterator[str]:
    """Yield claims that something holds a case where nothing is; by code: direction and by what.

    A strap line is no contact: it holds to the rear only, and what it claims elsewhere is false.
    """
    for code, ways in claims.items():
        place = scene.by_code[code]
        for way, by in ways:
            if by == "strap line":
                if way != "rearward":
                    yield f"{code}: a strap line across the back holds nothing {way}"
            elif way in WAYS and nearest_um(scene, place, way) > OPEN_UM:
                yield f"{code}: nothing within 15 cm holds it {way}, though {by} is said to"
