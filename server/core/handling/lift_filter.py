"""Reductions of the HSE lifting filter by pace and twist, and bands of team lifts (MAC tool)."""

from __future__ import annotations

from typing import Final, Literal

PACE_SOURCE: Final = "HSE lifting filter, reductions for pace and twist (university leaflet)"
BANDS_SOURCE: Final = "HSE INDG383 (MAC tool), team handling, load bands (from memory)"
# lifts a minute from which, and the share of the filter value that is left; between the printed
# bands the stricter one holds
PACE: Final[tuple[tuple[float, float], ...]] = ((12.0, 0.2), (2.0, 0.5), (0.5, 0.7))
TWIST: Final[tuple[tuple[float, float], ...]] = ((90.0, 0.8), (45.0, 0.9))

Band = Literal["green", "amber", "red", "purple"]
# people → greatest kilograms of green, amber and red
TEAM_BANDS: Final[dict[int, tuple[float, float, float]]] = {
    2: (35, 50, 85),
    3: (40, 75, 125),
    4: (40, 100, 170),
}


def pace_share(per_minute: float) -> float:
    """Return what share of the filter value holds at a pace: all of it up to 30 an hour."""
    return next((share for above, share in PACE if per_minute > above), 1.0)


def twist_share(degrees: float) -> float:
    """Return what share of the filter value holds with a twist of the trunk."""
    return next((share for above, share in TWIST if degrees > above), 1.0)


def team_band(people: int, kilograms: float) -> Band:
    """Return the colour of a team lift by its load."""
    green, amber, red = TEAM_BANDS[people]
    if kilograms <= green:
        return "green"
    return "amber" if kilograms <= amber else "red" if kilograms <= red else "purple"
