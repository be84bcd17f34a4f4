"""What a planned vehicle asks before it moves: masses to weigh, voids to fill, no hands for it."""

from __future__ import annotations

from collections.abc import Iterator

from server.core.base.figure import count_words, mass_words
from server.core.base.units import from_g
from server.core.handling.cards import Site, check_card
from server.core.handling.ramp import PERSON_G
from server.core.road.licence import Combination, gb_category, us_licence
from server.core.securing.directions import stack_holds
from server.core.securing.rows import every_row_lined, straps_for_vehicle
from server.core.securing.straps import EN
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


CREW = 2  # who rides along; common practice, no source


def on_the_road(show: Show, one: VehiclePlan) -> Iterator[str]:
    """Yield what a vehicle asks of its driver by mass, and whether its crew fits the payload."""
    room = show.vehicle(one.vehicle)
    load = load_of(show.case(place.code) for place in one.places()).high or 0
    if room.payload_g is not None and load <= room.payload_g < load + CREW * PERSON_G:
        left = mass_words(room.payload_g - load, show.units)
        crew = mass_words(CREW * PERSON_G, show.units)
        yield f"{left} of the payload left: a crew of {CREW} ({crew}) and gear count in it too"
    axles = room.axles
    if axles is None or axles.gross_limit_g is None:
        return
    if axles.kind != "truck":
        yield "licence and towing limit hang on the towing vehicle, which is not stated: read both"
        return
    gross = mass_words(axles.gross_limit_g, show.units)
    if show.rules.securing == EN:
        found = gb_category(axles.gross_limit_g / 1000)
        yield f"gross limit {gross}: licence category {found.value} ({found.source})"
        return
    found = us_licence(Combination(from_g(axles.gross_limit_g, "lb")))
    kind = "a commercial vehicle" if found.detail("cmv") else "no commercial vehicle"
    yield f"gross limit {gross}: {kind}, licence group {found.value} ({found.source})"


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
