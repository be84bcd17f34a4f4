"""What the venue asks of a load before issue: slope, floor and way for hands, dock against deck."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Final

from server.core.base.figure import mass_words
from server.core.base.units import Units, from_um
from server.core.handling.push import PushTask
from server.core.handling.ramp import Crossing, judge_crossing
from server.core.handling.rolling import ROLLING, Floor
from server.core.handling.slope import FLAT, Slope
from server.core.shop.case import Case
from server.core.shop.details import Venue
from server.core.shop.show import Show
from server.core.shop.vehicle import Vehicle

# The figures of HSE (push-pull assessment) hold for a way of 20 m at most.
HSE_WAY_UM: Final = 20_000_000
# A step that casters do not take without a plate; common practice, no source.
STEP_UM: Final = 25_000
# Where nobody stated the floor it counts as uneven: the worse of the two that cases roll on.
UNKNOWN_FLOOR: Final[Floor] = "rough"


def venue_lines(show: Show, cases: Iterable[Case]) -> tuple[str, ...]:
    """Return what has to be settled at the venue for the cases that travel; empty: nothing."""
    venue = show.details.venue
    if venue is None:
        return ()
    found = [*_docks(venue, show.vehicles, show.units), *_way(venue, show.units)]
    for case in sorted(cases, key=lambda one: (-one.mass_g, one.code)):
        if case.mass_g and case.casters:
            found += _pushed(venue, case, show)
    return tuple(found)


def _slope(venue: Venue) -> Slope:
    """Return the steeper of the stated slope and the ramp between street and dock."""
    slopes = [FLAT]
    if venue.slope_percent:
        slopes.append(Slope.one_in(100 / venue.slope_percent))
    if venue.ramp_length_um and venue.dock_height_um:
        slopes.append(Slope(venue.dock_height_um, venue.ramp_length_um))
    return max(slopes, key=lambda one: one.sine)


def _pushed(venue: Venue, case: Case, show: Show) -> Iterator[str]:
    """Yield why hands alone do not move a case along the way to the stage."""
    slope, floor = _slope(venue), venue.floor or UNKNOWN_FLOOR
    task = PushTask(case.mass_g, slope, ROLLING[floor], hands=show.rules.hands)
    verdict = judge_crossing(Crossing(task), show.units)
    if not verdict.may_go:
        way = f"{slope.words()}, {'floor not stated, ' if venue.floor is None else ''}{floor}"
        weight = mass_words(case.mass_g, show.units)
        yield f"{case.code} ({weight}) not by hand on {way}: {'; '.join(verdict.reasons)}"


def _docks(venue: Venue, vehicles: Iterable[Vehicle], units: Units) -> Iterator[str]:
    dock = venue.dock_height_um
    if not dock:
        return
    for vehicle in vehicles:
        deck = None if vehicle.ramp is None else vehicle.ramp.deck_height_um
        if deck is None:
            yield f"{vehicle.id}: height of its deck not known, so not compared with the dock"
        elif abs(deck - dock) > STEP_UM:
            step = f"{round(from_um(abs(deck - dock), units.length), 1):g} {units.length}"
            side = "lower" if dock < deck else "higher"
            yield f"{vehicle.id}: the dock is {step} {side} than its deck: bring a plate or ramp"


def _way(venue: Venue, units: Units) -> Iterator[str]:
    if venue.distance_um is not None and venue.distance_um > HSE_WAY_UM:
        way = f"{round(from_um(venue.distance_um, units.length)):,} {units.length}"
        yield (
            f"the way to the stage is {way}: figures of people hold for 20 m (HSE push-pull "
            "assessment), plan rests or more hands"
        )
