"""What one person lifts by the height of the hands: the lifting and lowering filter of HSE L23.

A filter for planning, not a limit: above the value a closer look is asked for. Where the hands pass
several zones the smallest value counts.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

from server.core.handling.push import Hands

SOURCE: Final = "HSE L23 and INDG143, lifting and lowering filter (cells but 25, 16, 5: memory)"
Reach = Literal["close", "arms_out"]


@dataclass(frozen=True, slots=True)
class Zone:
    """A zone of hand heights up to `top_um` and the kilograms of each person in it.

    Heights of the body's landmarks: knuckle 75 cm as in the NIOSH equation, the others common
    practice, no source.
    """

    name: str
    top_um: int
    kilograms: dict[tuple[Hands, Reach], float]


def _each(men: tuple[float, float], women: tuple[float, float]) -> dict[tuple[Hands, Reach], float]:
    return {
        ("men", "close"): men[0],
        ("men", "arms_out"): men[1],
        ("mixed", "close"): women[0],
        ("mixed", "arms_out"): women[1],
    }


ZONES: Final = (
    Zone("floor to mid lower leg", 250_000, _each((10, 5), (7, 3))),
    Zone("mid lower leg to knuckle", 750_000, _each((20, 10), (13, 7))),
    Zone("knuckle to elbow", 1_050_000, _each((25, 15), (16, 10))),
    Zone("elbow to shoulder", 1_400_000, _each((20, 10), (13, 7))),
    Zone("shoulder to head", 1_750_000, _each((10, 5), (7, 3))),
)


def zones_between(one_um: int, other_um: int) -> tuple[Zone, ...] | None:
    """Return the zones that hands pass between two heights; None: above the head, no figure."""
    low, high = sorted((one_um, other_um))
    if high > ZONES[-1].top_um:
        return None
    found = []
    below = 0
    for zone in ZONES:
        if zone.top_um >= low and (below < high or below == 0):
            found.append(zone)
        below = zone.top_um
    return tuple(found)


def each_kg(zones: tuple[Zone, ...], hands: Hands, reach: Reach) -> tuple[float, Zone]:
    """Return what each person lifts through zones, and the zone that says so."""
    worst = min(zones, key=lambda zone: zone.kilograms[hands, reach])
    return worst.kilograms[hands, reach], worst
