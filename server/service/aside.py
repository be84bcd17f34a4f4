"""Archived vehicles: given back or laid up, offered for no show to come, kept for those that were.

A vehicle is not archived while an open show has it: that show would be planned, or is on the road,
with what is not there any more. Whoever gives it back closes the show or takes it off the show.
"""

from __future__ import annotations

from collections.abc import Iterable

from server.service.ports import Ports
from server.service.troubles import Conflict


def held_by(ports: Ports) -> dict[str, list[str]]:
    """Return for every vehicle that open shows have booked, or their crews' plans use, their names.

    A show may be booked anew while its crew still works by the plan that was issued.
    """
    held: dict[str, list[str]] = {}
    for show in ports.shows.all():
        if show.closed_at is not None:
            continue
        plan = ports.plans.get(show.id, show.issued) if show.issued else None
        planned = [] if plan is None else [one.id for one in plan.show.vehicles]
        for vehicle in dict.fromkeys([*ports.shows.vehicles(show.id), *planned]):
            held.setdefault(vehicle, []).append(show.name)
    return held


def refuse_held(ports: Ports, vehicle: str) -> None:
    """Raise Conflict where open shows have the vehicle."""
    shows = held_by(ports).get(vehicle)
    if shows:
        raise Conflict(
            f"{vehicle} cannot be archived: open shows have it ({named(shows)}). "
            "Close them, or take it off them first."
        )


def named(shows: list[str]) -> str:
    """Return the names of a few shows, and how many more there are."""
    more = f" and {len(shows) - 3} more" if len(shows) > 3 else ""
    return ", ".join(shows[:3]) + more


def aside(ports: Ports) -> frozenset[str]:
    """Return the vehicles that are archived."""
    return frozenset(one.vehicle.id for one in ports.fleet.vehicles() if one.aside)


def first_aside(ports: Ports, vehicles: Iterable[str], besides: Iterable[str] = ()) -> str | None:
    """Return the first of these that is archived, not counting those `besides`."""
    away = aside(ports) - frozenset(besides)
    return next((one for one in vehicles if one in away), None)
