"""What the crew is told of a vehicle before the first case moves; each figure with its source."""

from __future__ import annotations

from server.core.balance import weigh
from server.core.handling.push import PushTask, push_figure
from server.core.handling.slope import FLAT, Slope
from server.core.limits import limits
from server.core.plan import VehiclePlan
from server.core.sequence import Card
from server.core.show import Show
from server.core.vehicle import Vehicle


def briefing(show: Show, vehicle: Vehicle, plan: VehiclePlan) -> tuple[Card, ...]:
    """Return the limits of the vehicle as loaded, and the heaviest push up its ramp."""
    masses = {case.code: case.mass_g for case in show.cases}
    balance = weigh(vehicle, plan.places(), masses)
    found = limits(vehicle, balance, show.rules.side_difference, show.units)
    cards = [Card(f"limit_{one.name}", one.figure) for one in found]
    ramp, codes = vehicle.ramp, [place.code for place in plan.places()]
    if ramp is None or not codes:
        return tuple(cards)
    slope = FLAT
    if ramp.deck_height_um < ramp.length_um:
        slope = Slope(float(ramp.deck_height_um), float(ramp.length_um))
    heaviest = PushTask(max(masses[code] for code in codes), slope, wet=ramp.wet)
    return (*cards, Card("heaviest_push", push_figure(heaviest, show.units)))
