"""Why a case cannot go, by rule and in words."""

from __future__ import annotations

from server.core.base.units import within
from server.core.planner.problem.model import Task, Way
from server.core.shop.case import Case
from server.core.shop.vehicle import Vehicle


def why_no_vehicle(case: Case, task: Task) -> str | None:
    """Return the rule that keeps a case out of every vehicle, or None when one could take it."""
    rooms = [v for v in task.vehicles if case.vehicle in (None, v.id)]
    reasons = []
    for room in rooms:
        reason = why_not_in(case, room)
        if reason is None:
            return None
        reasons.append(reason)
    return "; ".join(dict.fromkeys(reasons)) or f"vehicle {case.vehicle} is not among these"


def why_not_in(case: Case, room: Vehicle) -> str | None:
    """Return the rule that keeps a lone case out of one vehicle, or None."""
    if not within(case.mass_g, room.payload_g, 1):
        return f"heavier than the payload of {room.id}"
    ways = [
        Way(*case.standing(stance, turned), stance, turned)
        for stance in case.stances
        for turned in ((False, True) if case.turn else (False,))
    ]
    limits = (
        ("dz", room.height_um, f"higher than {room.id} inside"),
        ("dz", room.passing_height_um, f"higher than the door of {room.id}"),
        ("dx", room.width_um, f"wider than {room.id} in every way it may stand"),
        ("dy", room.length_um, f"longer than {room.id} in every way it may stand"),
    )
    for side, limit, reason in limits:
        ways = [way for way in ways if getattr(way, side) <= limit]
        if not ways:
            return reason
    return None
