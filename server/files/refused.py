"""What a plan file says where not everything goes, in the show's own units."""

from __future__ import annotations

from typing import Any

from server.core.base.units import Units, from_g, from_um
from server.core.planner.problem.answer import NoPlan


def write_refused(refusal: NoPlan, units: Units) -> dict[str, Any]:
    """Return reasons, what is short, ways out and what a second vehicle would carry."""
    second = refusal.second.vehicles if refusal.second is not None else ()
    return {
        "status": refusal.status,
        "proven": refusal.proven,
        "reasons": list(refusal.reasons),
        "floor_short": from_um(refusal.short_um, units.length),
        "over_payload": from_g(refusal.over_g, units.mass),
        "ways_out": [
            {
                "by": way.by,
                "codes": list(way.codes),
                "mass": from_g(way.mass_g, units.mass),
                "proven": way.proven,
            }
            for way in refusal.ways_out
        ],
        "second_vehicle": [place.code for one in second for place in one.places()],
    }
