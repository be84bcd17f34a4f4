"""What a planned vehicle asks before it moves: masses to weigh, voids to fill, no hands for it."""

from __future__ import annotations

from collections.abc import Iterator

from server.core.base.figure import count_words, mass_words
from server.core.handling.cards import Site, check_card
from server.core.road.notes import crew_note, licence_note
from server.core.securing.directions import stack_holds
from server.core.securing.rows import every_row_lined, straps_for_vehicle
from server.core.shop.case_mass import load_of, unweighed
from server.core.shop.plan import VehiclePlan
from server.core.shop.show import Show
from server.core.weight.asks import asks

MOST_NAMED = 6


def cautions(show: Show, one: VehiclePlan) -> Iterator[str]:
    """Yield what is not known, not held or not for hands in a vehicle of a plan."""
    room, codes = show.vehicle(one.vehicle), [place.code for place in one.places()]
    without = unweighed(show.case(code) for code in codes)
    if without:
        worst = load_of(show.case(code) for code in without).high or 0
        yield (
            f"{count_words(len(without), 'case')} without a mass ({_named(without)}), together up "
            f"to {mass_words(worst, show.units)} by size: payload, axles, straps and people are "
            "not proven until they are weighed, or the chief answers for a guess"
        )
    called = {code: show.case(code) for code in codes}
    yield from asks(room, one.places(), called, show.units)
    hold = straps_for_vehicle(show, room, every_row_lined(one))
    for row in hold.rows:
        if row.voids:
            yield f"row {row.number}: {'; '.join(row.fill)} (not held by its straps)"
        if row.straps and "hold it forward" in row.straps.derivation:
            yield f"row {row.number}: nothing ahead blocks it, straps behind do not hold it forward"
    yield from _not_held(show, one)
    yield from _not_by_hand(show, one)
    yield from on_the_road(show, one)


def on_the_road(show: Show, one: VehiclePlan) -> Iterator[str]:
    """Yield what a vehicle asks of its driver by mass, and whether its crew fits the payload."""
    room = show.vehicle(one.vehicle)
    load = load_of(show.case(place.code) for place in one.places()).high or 0
    yield from crew_note(room.payload_g, load, show.units)
    yield from licence_note(room.axles, show.rules.securing, show.units)


def _not_held(show: Show, one: VehiclePlan) -> Iterator[str]:
    """Name the stacks that nothing holds sideways, to the rear or against tipping."""
    for stack in stack_holds(show, one):
        for hold in stack.open:
            if hold.direction != "forward" and hold.by != "open":  # both are said row by row
                yield f"row {stack.row}, {', '.join(stack.codes)}: {hold.say}"


def _not_by_hand(show: Show, one: VehiclePlan) -> Iterator[str]:
    """Name the cases that no hands move as planned, by reason."""
    room, site = (
        show.vehicle(one.vehicle),
        Site("shop_load", units=show.units, hands=show.rules.hands),
    )
    found: dict[str, list[str]] = {}
    for place in one.places():
        card = check_card(show.case(place.code), room, site, place)
        if not card.may_go and card.mass_g:
            found.setdefault(card.reasons[0], []).append(place.code)
    for reason, codes in found.items():
        yield f"not by hand as planned: {_named(codes)}: {reason}"


def _named(codes: list[str] | tuple[str, ...]) -> str:
    more = f" and {len(codes) - MOST_NAMED} more" if len(codes) > MOST_NAMED else ""
    return ", ".join(codes[:MOST_NAMED]) + more
