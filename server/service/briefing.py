"""The briefing of a vehicle before the first case moves; each figure with its source."""

from __future__ import annotations

from dataclasses import replace

from server.core.base.figure import Figure, count_words, mass_words
from server.core.crew.sheet import Brief, Card, HandCheck
from server.core.handling.brief import briefing as briefing_of
from server.core.handling.brief import hands_figure
from server.core.handling.cards import CheckCard, Site, check_card, slope_of
from server.core.handling.gate import gate_figure
from server.core.handling.push import PushTask
from server.core.handling.ramp import Crossing, judge_crossing, verdict_figure
from server.core.securing.rows import equipment, straps_for_vehicle
from server.core.securing.track import track_figure
from server.core.shop.case import Case
from server.core.shop.case_mass import load_of
from server.core.shop.plan import Place, VehiclePlan
from server.core.shop.show import Show
from server.core.shop.vehicle import Vehicle
from server.core.weight.asks import at_worst
from server.core.weight.balance import weigh
from server.core.weight.exchange import exchanges, row_masses
from server.core.weight.limits import limits, over


def briefing(show: Show, vehicle: Vehicle, plan: VehiclePlan) -> tuple[Card, ...]:
    """Return limits and ways back into them, straps on board, the heaviest push up the ramp."""
    masses = {case.code: case.mass_g for case in show.cases}
    balance = weigh(vehicle, plan.places(), masses)
    found = limits(vehicle, balance, show.rules.side_difference, show.units)
    cards = [Card(f"limit_{one.name}", one.figure) for one in found]
    if any(limit.name in {"front", "rear", "front_share"} for limit in over(found)):
        cards += _exchanges(show, vehicle, plan, masses)
    codes = [place.code for place in plan.places()]
    if codes:
        cards.append(Card("straps_on_board", equipment(straps_for_vehicle(show, vehicle, plan))))
    if codes and vehicle.track is not None:
        cards.append(Card("track", track_figure(vehicle.track, plan.rows, show.units)))
    if codes and vehicle.lift_gate is not None:
        carried = [show.case(code) for code in codes]
        cards.append(Card("lift_gate", gate_figure(vehicle.lift_gate, carried, show.units)))
    if codes and vehicle.ramp is not None:
        cards.append(Card("heaviest_push", _heaviest(show, vehicle, plan)))
    cards += unweighed(show, vehicle, plan)
    if codes:
        cards.append(Card("hands_needed", _hands(show, vehicle, plan)))
    return tuple(cards)


def unweighed(show: Show, vehicle: Vehicle, plan: VehiclePlan) -> list[Card]:
    """Return the cases whose mass nobody stated, and the limits that they may break at worst."""
    called = {place.code: show.case(place.code) for place in plan.places()}
    cases = [case for case in called.values() if not case.mass_g]
    if not cases:
        return []
    worst = load_of(cases).high
    assert worst is not None
    say = (
        f"{count_words(len(cases), 'case')} without a mass, together up to "
        f"{mass_words(worst, show.units)} by size: weigh, or the chief answers for a guess"
    )
    say = "; ".join((say, *at_worst(vehicle, plan.places(), called, show.units)))
    parts = (("codes", tuple(case.code for case in cases)), ("most_g", worst))
    figure = Figure(len(cases), "cases", "common practice, no source", say, "planning", parts)
    return [Card("unweighed", figure)]


def push_on_ramp(vehicle: Vehicle, mass_g: int, show: Show) -> Figure:
    """Return the people up a vehicle's ramp; without a value: not as planned, and the ways out."""
    ramp = vehicle.ramp
    wet = ramp is not None and ramp.wet
    task = PushTask(mass_g, slope_of(vehicle), wet=wet, hands=show.rules.hands)
    rating = None if ramp is None else ramp.rating_g
    return verdict_figure(judge_crossing(Crossing(task, rating_g=rating), show.units))


def _heaviest(show: Show, vehicle: Vehicle, plan: VehiclePlan) -> Figure:
    """Return everybody whom the heaviest case takes, as its own card says it."""
    card = max(_cards(show, vehicle, plan), key=lambda one: one.mass_g)
    figure = push_on_ramp(vehicle, card.mass_g, show)
    if card.crew is None or figure.value is None or figure.value == card.crew:
        return figure
    say = f"{figure.derivation}; with the spotter {card.crew} people"
    return replace(figure, value=card.crew, derivation=say)


def _exchanges(
    show: Show, vehicle: Vehicle, plan: VehiclePlan, masses: dict[str, int]
) -> list[Card]:
    """Return which rows to exchange to come back within the limits of the axles, best first."""
    assert vehicle.axles is not None
    rows = row_masses(plan.rows, masses, {case.code: case.drop for case in show.cases})
    best = exchanges(rows, vehicle.axles, units=show.units)
    return [Card("exchange_rows", one.figure) for one in best]


def _hands(show: Show, vehicle: Vehicle, plan: VehiclePlan) -> Figure:
    """Return how many hands the hardest case of the vehicle asks."""
    return hands_figure(vehicle, _cards(show, vehicle, plan))


def _cards(show: Show, vehicle: Vehicle, plan: VehiclePlan) -> tuple[CheckCard, ...]:
    """Return the check card of everything that the vehicle carries."""
    site = _site(show)
    return tuple(check_card(show.case(one.code), vehicle, site, one) for one in plan.places())


def _site(show: Show) -> Site:
    return Site("shop_load", units=show.units, hands=show.rules.hands)


def brief(show: Show, vehicle: Vehicle, plan: VehiclePlan) -> Brief:
    """Return the briefing of a vehicle from tonight's list, worded by the phone."""
    told = briefing_of(vehicle, _cards(show, vehicle, plan), _site(show))
    slope = slope_of(vehicle)
    return Brief(
        heaviest=told.heaviest.code if told.heaviest else None,
        hands_needed=told.hands_needed,
        slope=slope.words() if slope.sine else "",
        refused=tuple(card.code for card in told.refused),
        lifts=tuple(card.code for card in told.lifts),
        hazards=tuple((one.name, one.count) for one in told.hazards),
    )


def hand_check(show: Show, vehicle: Vehicle, place: Place, case: Case) -> HandCheck:
    """Return the check card of one case in its place, as far as the phone needs it."""
    card = check_card(case, vehicle, _site(show), place)
    slope = bool(slope_of(vehicle).sine)
    return HandCheck(
        card.people, card.spotters, card.may_go, slope, card.reasons, card.ways, card.asks
    )
