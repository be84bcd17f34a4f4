"""Topics: which methods each has; the first is the default."""

from __future__ import annotations

from typing import Final

from server.checks import (
    axles_methods,
    goods,
    hours,
    licence,
    lift,
    lift_filter,
    lift_parts,
    lift_team,
    mmh,
    push,
    ramp,
    straps_countries,
    straps_en,
    straps_en_tables,
    straps_parts,
    straps_row,
    straps_us,
)
from server.checks.method import Topic

TOPICS: Final[dict[str, Topic]] = {
    "lift": (
        *lift.METHODS,
        *lift_team.METHODS,
        *lift_parts.METHODS,
        mmh.LIFT,
        mmh.CAPABLE,
        *lift_filter.METHODS,
    ),
    "push": push.METHODS,
    "ramp": ramp.METHODS,
    "straps": (
        *straps_us.METHODS,
        *straps_parts.METHODS,
        *straps_en.METHODS,
        *straps_en_tables.METHODS,
        *straps_row.METHODS,
        *straps_countries.METHODS,
    ),
    "axles": axles_methods.METHODS,
    "hours": hours.METHODS,
    "licence": licence.METHODS,
    "goods": goods.METHODS,
}


def methods(topic: str) -> Topic:
    """Return the methods of a topic."""
    return TOPICS[topic]
