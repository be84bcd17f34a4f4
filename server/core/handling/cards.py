"""Check card of a case and move, and briefing card of a vehicle, made from tonight's list."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Final, Literal

from server.core.base.figure import CAUTIONS, Figure, count_words, mass_words
from server.core.base.units import Units
from server.core.handling.push import (
    HOUSE_SOURCE,
    HSE_SOURCE,
    Hands,
    PushTask,
    push_figure,
    spotters,
)
from server.core.handling.ramp import WAY_WORDS, Crossing, Verdict, Way, judge_crossing
from server.core.handling.slope import FLAT, Slope
from server.core.handling.team import EACH_KG, EACH_MIXED_KG, LiftTask, lift_figure
from server.core.handling.team import HSE_SOURCE as LIFT_SOURCE
from server.core.shop.case import Case, Stance
from server.core.shop.plan import Place
from server.core.shop.vehicle import Vehicle

Move = Literal["shop_load", "load_in", "load_out", "put_away"]
STANCE_WORDS: Final[dict[Stance, str]] = {
    "upright": "wheels down",
    "on_end": "on its end",
    "on_side": "on its side",
}
# 29 CFR 1926.451(e)(5)(iv) wants cleats above 1 in 8: a rule for scaffolds, a hint here.
STEEP_SINE: Final = Slope.one_in(8).sine
LIFT_WAYS: Final[tuple[Way, ...]] = ("stand_on_floor", "lift_gate", "forklift", "split_the_case")
# Trade practice at a ramp and in a vehicle; common practice, no source.
UP_WORDS: Final = "push from behind at the corners, hands off edges and latches"
DOWN_WORDS: Final = "hold back from the uphill side, path below empty"
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
class Site:
    """The move, the hands there (None: not counted yet), units, and whose strength is counted."""

    move: Move
    hands_there: int | None = None
    units: Units = field(default_factory=Units)
    hands: Hands = "men"


@dataclass(frozen=True, slots=True)
class CheckCard:
    """What a hand reads before touching one case.

    `people`: on the case, spotter not counted; None: no number of people will do. `may_go` False:
    refused as planned, with reasons and ways out (their names; WAY_WORDS says them).
    """

    code: str
    name: str
    mass_g: int
    mass: str
    move: Move
    stance: str
    how: str
    people: int | None
    spotters: int
    may_go: bool
    push: Figure
    lift: Figure | None
    reasons: tuple[str, ...]
    ways: tuple[Way, ...]
    caution: str

    def way_words(self) -> tuple[str, ...]:
        """Return the ways out in English."""
        return tuple(WAY_WORDS[way] for way in self.ways)


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


def slope_of(vehicle: Vehicle) -> Slope:
    """Return the slope of a vehicle's ramp; flat at a dock."""
    ramp = vehicle.ramp
    if ramp is None or ramp.deck_height_um >= ramp.length_um:  # stood on end is no ramp
        return FLAT
    return Slope(float(ramp.deck_height_um), float(ramp.length_um))


def people_on_flat(case: Case) -> Figure:
    """Return the people who move a case on a good flat floor, as its label says."""
    return push_figure(PushTask(case.mass_g))


def check_card(case: Case, vehicle: Vehicle, site: Site, place: Place | None = None) -> CheckCard:
    """Return the card of one case on one move; `place` says whether it is lifted onto a lid."""
    verdict = _crossing(case, vehicle, site)
    lift = _lift(case, site, place)
    reasons, ways = list(verdict.reasons), list(verdict.ways)
    if lift is not None and lift.value is None:
        reasons.append(lift.derivation)
        ways += LIFT_WAYS
    counts = [figure.value for figure in (verdict.figure, lift) if figure is not None]
    people = None if None in counts else max(count for count in counts if isinstance(count, int))
    slope = slope_of(vehicle)
    return CheckCard(
        code=case.code,
        name=case.name,
        mass_g=case.mass_g,
        mass=mass_words(case.mass_g, site.units),
        move=site.move,
        stance=STANCE_WORDS[place.stance if place else "upright"],
        how=_how(slope, site.move),
        people=people,
        spotters=spotters(slope),
        may_go=not reasons,
        push=verdict.figure,
        lift=lift,
        reasons=tuple(reasons),
        ways=tuple(dict.fromkeys(ways)),
        caution=CAUTIONS["ramp" if slope.sine else "lift" if lift else "push"],
    )


def _crossing(case: Case, vehicle: Vehicle, site: Site) -> Verdict:
    ramp = vehicle.ramp
    wet = ramp is not None and ramp.wet
    task = PushTask(case.mass_g, slope_of(vehicle), wet=wet, hands=site.hands)
    return judge_crossing(
        Crossing(task, site.hands_there, ramp.rating_g if ramp else None), site.units
    )


def _lift(case: Case, site: Site, place: Place | None) -> Figure | None:
    """Return the lift of a case that goes onto a lid, or that has no casters to roll on."""
    height = place.z if place else 0
    if not height and case.casters:
        return None
    return lift_figure(lift_task(case.mass_g, height, site.hands), site.units)


def lift_task(mass_g: int, to_height_um: int, hands: Hands) -> LiftTask:
    """Return the lift of a case for the crew that there is."""
    return LiftTask(mass_g, to_height_um, EACH_MIXED_KG if hands == "mixed" else EACH_KG)


def _how(slope: Slope, move: Move) -> str:
    if not slope.sine:
        return UP_WORDS
    return DOWN_WORDS if move in {"load_in", "put_away"} else UP_WORDS


def briefing(vehicle: Vehicle, cards: tuple[CheckCard, ...], site: Site) -> Briefing:
    """Return the briefing card of a vehicle from the cards of everything that it carries."""
    slope = slope_of(vehicle)
    heaviest = max(cards, key=lambda card: card.mass_g, default=None)
    needed = max((card.people or 0 for card in cards), default=0) + spotters(slope)
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


def hands_figure(vehicle: Vehicle, cards: tuple[CheckCard, ...]) -> Figure:
    """Return the hands that the hardest case of a vehicle asks, with the spotter."""
    able = [card for card in cards if card.people is not None and card.may_go]
    stand_by = spotters(slope_of(vehicle))
    hardest = max(able, key=lambda card: card.people or 0, default=None)
    refused = len(cards) - len(able)
    needed = stand_by + (hardest.people or 0 if hardest else 0)
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
