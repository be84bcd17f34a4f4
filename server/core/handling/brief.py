"""Briefing card of a vehicle: what everybody hears at the ramp, made from tonight's cards."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

from server.core.base.figure import CAUTIONS, Figure, count_words, mass_words
from server.core.base.units import Units
from server.core.handling.cards import CheckCard, Site, slope_of
from server.core.handling.push import HOUSE_SOURCE, HSE_SOURCE, MOST_AT_ONE_CASE, spotters
from server.core.handling.slope import Slope
from server.core.handling.team import HSE_SOURCE as LIFT_SOURCE
from server.core.shop.vehicle import Vehicle

# 29 CFR 1926.451(e)(5)(iv) wants cleats above 1 in 8: a rule for scaffolds, a hint here.
STEEP_SINE: Final = Slope.one_in(8).sine
# Trade practice at a ramp and in a vehicle; common practice, no source.
RULES: Final = (
    "One case on the ramp at a time, somebody ready at the other end.",
    "Nobody who is not pushing stands or walks below a case on a slope.",
    "If it gets away: let it go, step aside.",
    "Gloves, closed boots, no phones out while pushing.",
    "Strap the row before the next row hides it.",
    "Nobody rides a lift gate; nobody in the vehicle with a forklift.",
    "Anyone may stop the work.",
)


@dataclass(frozen=True, slots=True)
class Hazard:
    """What is dangerous tonight: its name, by which the phone words it, how many, and English."""

    name: Literal["refused", "hands", "wet", "steep", "lifts"]
    count: int
    words: str


@dataclass(frozen=True, slots=True)
class Briefing:
    """What everybody hears at the ramp of one vehicle; `hands_needed` with the spotter."""

    vehicle: str
    heaviest: CheckCard | None
    ramp: str
    hands_needed: int
    refused: tuple[CheckCard, ...]
    lifts: tuple[CheckCard, ...]
    hazards: tuple[Hazard, ...]
    rules: tuple[str, ...]
    caution: str


def briefing(vehicle: Vehicle, cards: tuple[CheckCard, ...], site: Site) -> Briefing:
    """Return the briefing card of a vehicle from the cards of everything that it carries."""
    slope = slope_of(vehicle)
    heaviest = max(cards, key=lambda card: card.mass_g, default=None)
    needed = max((card.crew or 0 for card in cards if _by_hand(card, site)), default=0)
    return Briefing(
        vehicle=vehicle.name or vehicle.id,
        heaviest=heaviest,
        ramp=_ramp_words(vehicle, site.units),
        hands_needed=needed,
        refused=tuple(card for card in cards if not card.may_go),
        lifts=tuple(card for card in cards if card.lift is not None),
        hazards=_hazards(vehicle, cards, needed, site),
        rules=RULES,
        caution=CAUTIONS["ramp" if slope.sine else "planning"],
    )


def _by_hand(card: CheckCard, site: Site) -> bool:
    """Return whether hands move a case; too few of them on site is no other way."""
    if card.may_go or site.hands_there is None:
        return card.may_go
    return card.people is not None and card.people <= MOST_AT_ONE_CASE


def hands_figure(vehicle: Vehicle, cards: tuple[CheckCard, ...]) -> Figure:
    """Return the hands that the hardest case of a vehicle asks, with the spotter."""
    able = [card for card in cards if card.people is not None and card.may_go]
    stand_by = spotters(slope_of(vehicle))
    hardest = max(able, key=lambda card: card.crew or 0, default=None)
    refused = len(cards) - len(able)
    needed = (hardest.crew or 0) if hardest else 0
    say = "nothing to move by hand"
    if hardest is not None:
        spotter = " and a spotter at the ramp" if stand_by else ""
        name = f"{hardest.name} ({hardest.code})" if hardest.name else hardest.code
        on_it = count_words(hardest.people or 0, "person", "people")
        say = f"{on_it} for {name}, {hardest.mass}, the hardest of this vehicle{spotter}"
    if refused:
        say += f"; {count_words(refused, 'case')} not by hand as planned"
    parts = (("spotters", stand_by), ("refused", refused))
    source = f"{HSE_SOURCE}; {LIFT_SOURCE}; {HOUSE_SOURCE}"
    return Figure(needed, "people", source, say, "ramp" if stand_by else "push", parts)


def _ramp_words(vehicle: Vehicle, units: Units) -> str:
    ramp, slope = vehicle.ramp, slope_of(vehicle)
    if ramp is None or not slope.sine:
        return "no ramp known: dock or level floor"
    rating = "rating not known, read the plate"
    if ramp.rating_g is not None:
        rating = f"rated {mass_words(ramp.rating_g, units)}"
    return f"{'wet ' if ramp.wet else ''}ramp of {slope.words()}, {rating}"


def _hazards(
    vehicle: Vehicle, cards: tuple[CheckCard, ...], needed: int, site: Site
) -> tuple[Hazard, ...]:
    """Name what is dangerous tonight, worst first."""
    found = []
    refused = sum(1 for card in cards if not card.may_go)
    if refused:
        words = f"{count_words(refused, 'case')} may not go as planned: read the card"
        found.append(Hazard("refused", refused, words))
    if site.hands_there is not None and site.hands_there < needed:
        words = f"{needed} hands are needed and {site.hands_there} are there"
        found.append(Hazard("hands", needed, words))
    if vehicle.ramp is not None and vehicle.ramp.wet:
        found.append(Hazard("wet", 1, "the ramp is wet: dry it, lay grip tape, go slower"))
    if slope_of(vehicle).sine > STEEP_SINE:
        found.append(Hazard("steep", 1, "the ramp is steeper than 1 in 8"))
    lifted = sum(1 for card in cards if card.lift is not None)
    if lifted:
        words = f"{count_words(lifted, 'case')} to lift by hand, one at each corner"
        found.append(Hazard("lifts", lifted, words))
    return tuple(found)
