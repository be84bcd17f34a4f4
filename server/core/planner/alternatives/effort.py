"""What a plan asks of hands: cases that stand on others, and cases tipped on end or side."""

from __future__ import annotations

from dataclasses import dataclass

from server.core.shop.plan import Plan
from server.core.shop.show import Show


@dataclass(frozen=True, slots=True, order=True)
class Effort:
    """Lifts (cases that stand on another) and turns (cases on end or on side)."""

    lifts: int
    turns: int

    @property
    def total(self) -> int:
        """Lifts and turns together."""
        return self.lifts + self.turns


def effort_of(plan: Plan) -> Effort:
    """Return the lifts and turns of a plan."""
    places = [place for one in plan.vehicles for place in one.places()]
    return Effort(
        sum(bool(place.on) for place in places),
        sum(place.stance != "upright" for place in places),
    )


def hardest_first(show: Show, plan: Plan) -> list[str]:
    """Return the codes that are lifted, by mass times height, the hardest first."""
    masses = {case.code: case.mass_g for case in show.cases}
    lifted = [place for one in plan.vehicles for place in one.places() if place.on]
    lifted.sort(key=lambda place: (-masses[place.code] * place.z, place.code))
    return [place.code for place in lifted]
