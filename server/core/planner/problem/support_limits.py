"""Axle limits as a range for the moment of a load about the bulkhead, its mass being known."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, floor

from server.core.shop.vehicle import Vehicle

SHARE_EDGE = 5e-7  # inside the judge's own tolerance of a share


@dataclass(frozen=True, slots=True)
class Window:
    """The least and the greatest lawful moment, doubled (gram micrometres); None: no limit."""

    low: int | None = None
    high: int | None = None


def window_of(room: Vehicle, mass_g: int, parts: int) -> Window | None:
    """Return the range of lawful moments of a load; None: no place of it is lawful.

    With rear = (moment / 2 - mass x front_at) / span, every limit is a bound on the rear support.
    """
    axles = room.axles
    if axles is None or not parts:
        return Window()
    spare = (parts + 1) // 2 + 1  # what rounding of masses adds to a limit
    gross = axles.empty_front_g + axles.empty_rear_g + mass_g
    if axles.gross_limit_g is not None and gross > axles.gross_limit_g + spare:
        return None
    lows, highs = [], []
    if axles.front_limit_g is not None:
        lows.append(axles.empty_front_g + mass_g - axles.front_limit_g - spare - 0.4)
    if axles.rear_limit_g is not None:
        highs.append(axles.rear_limit_g - axles.empty_rear_g + spare + 0.4)
    if gross and axles.share_min is not None:
        front = (axles.share_min - SHARE_EDGE) * gross
        highs.append(axles.empty_front_g + mass_g - front)
    if gross and axles.share_max is not None:
        front = (axles.share_max + SHARE_EDGE) * gross
        lows.append(axles.empty_front_g + mass_g - front)
    span = axles.rear_at_um - axles.front_at_um

    def moment(rear: float) -> float:
        return 2 * (rear * span + mass_g * axles.front_at_um)

    low = ceil(moment(max(lows))) if lows else None
    high = floor(moment(min(highs))) if highs else None
    if low is not None and high is not None and low > high:
        return None
    return Window(low, high)
