"""Load of a person over a minute, an hour and a night: carried mass against ISO 11228-1.

Cells from memory; the standard's own table decides. Between two distances of the table the limits
of the longer one hold, beyond the last no figure is given.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from server.core.base.figure import Figure

SOURCE: Final = "ISO 11228-1, cumulative mass by distance (from memory)"
REFERENCE_KG: Final[dict[str, float]] = {"men": 25.0, "mixed": 15.0}  # annex C, mixed from memory


@dataclass(frozen=True, slots=True)
class Carried:
    """Most kilograms that one person carries in a minute, an hour and eight hours."""

    minute_kg: float
    hour_kg: float
    night_kg: float


# metres of each carry, at most → limits
CARRIED: Final[tuple[tuple[float, Carried], ...]] = (
    (1.0, Carried(120, 7_200, 10_000)),
    (2.0, Carried(75, 4_500, 10_000)),
    (4.0, Carried(60, 3_000, 10_000)),
    (10.0, Carried(30, 1_500, 10_000)),
    (20.0, Carried(15, 750, 6_000)),
)


def carried_limits(metres: float) -> Carried | None:
    """Return the limits for carries of a distance; None: farther than the table goes."""
    return next((limits for most, limits in CARRIED if metres <= most), None)


def night_figure(carries: int, kilograms: float, metres: float) -> Figure:
    """Return whether so many carries of a mass keep the limit of eight hours."""
    limits = carried_limits(metres)
    together = carries * kilograms
    say = f"{carries} x {kilograms:g} kg over {metres:g} m are {together:,g} kg"
    if limits is None:
        return Figure(None, "", SOURCE, f"{say}; no figure beyond 20 m", "lift")
    within = together <= limits.night_kg
    why = f"{say}, {'within' if within else 'over'} {limits.night_kg:,g} kg in 8 h"
    parts = (
        ("kg_per_min", limits.minute_kg),
        ("kg_per_h", limits.hour_kg),
        ("kg_per_8h", limits.night_kg),
    )
    return Figure(within, "", SOURCE, why, "lift", parts)
