"""Check card of a case and move, and briefing card of a vehicle, made from tonight's list."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Final, Literal

from server.core.base.figure import CAUTIONS, Figure, mass_words
from server.core.base.units import Units
from server.core.handling.gate import stands_on, takes
from server.core.handling.push import (
    Hands,
    PushTask,
    push_figure,
    spotters,
)
from server.core.handling.ramp import Crossing, Verdict, Way, judge_crossing
from server.core.handling.rolling import ROLLING, Floor
from server.core.handling.slope import FLAT, STEEPEST, Slope
from server.core.handling.team import (
    CARRY_UM,
    LiftTask,
    grip_um,
    lift_figure,
    team_limits_g,
    tip_task,
)
from server.core.shop.case import Case, Stance
from server.core.shop.plan import Place
from server.core.shop.vehicle import Vehicle

Move = Literal["shop_load", "load_in", "load_out", "put_away"]
STANCE_WORDS: Final[dict[Stance, str]] = {
    "upright": "wheels down",
    "on_end": "on its end",
    "on_side": "on its side",
}
LIFT_WAYS: Final[tuple[Way, ...]] = ("stand_on_floor", "lift_gate", "forklift", "split_the_case")
# Trade practice at a ramp and in a vehicle; common practice, no source.
UP_WORDS: Final = "push from behind at the corners, hands off edges and latches"
DOWN_WORDS: Final = "hold back from the uphill side, path below empty"


@dataclass(frozen=True, slots=True)
class Site:
    """The move, the hands there (None: not counted yet), units, whose strength, and the floor."""

    move: Move
    hands_there: int | None = None
    units: Units = field(default_factory=Units)
    hands: Hands = "mixed"
    floor: Floor = "good"


@dataclass(frozen=True, slots=True)
class CheckCard:
    """What a hand reads before touching one case.

    `people`: on the case; `crew`: with the spotter, the one number of every screen and paper; None:
    no number of people will do. `may_go` False: refused as planned, with reasons and ways out
    (their names; WAY_WORDS says them). `asks`: what is to be read or weighed first.
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
    tip: Figure | None
    reasons: tuple[str, ...]
    ways: tuple[Way, ...]
    asks: tuple[Way, ...]
    caution: str

    @property
    def crew(self) -> int | None:
        """Return everybody whom the case takes, the spotter among them."""
        return None if self.people is None else self.people + self.spotters


def slope_of(vehicle: Vehicle) -> Slope:
    """Return the slope of a vehicle's ramp; flat at a dock, and never flat by a wrong measure."""
    ramp = vehicle.ramp
    if ramp is None:
        return FLAT
    if ramp.deck_height_um >= ramp.length_um:  # cannot be: measure it
        return STEEPEST
    return Slope(float(ramp.deck_height_um), float(ramp.length_um))


def people_on_flat(case: Case, hands: Hands = "mixed") -> Figure:
    """Return the people who move a case on a good level floor, as its label says."""
    return push_figure(PushTask(case.mass_g, hands=hands))


def check_card(case: Case, vehicle: Vehicle, site: Site, place: Place | None = None) -> CheckCard:
    """Return the card of one case on one move; `place` says whether it is lifted onto a lid."""
    verdict = _crossing(case, vehicle, site)
    lift, tip = lift_of(case, site, place), tip_of(case, site, place)
    reasons, ways = [*verdict.reasons, *over_gate(case, vehicle, site)], list(verdict.ways)
    if len(reasons) > len(verdict.reasons):
        ways += ("forklift", "split_the_case")
    by_hand = [figure for figure in (lift, tip) if figure is not None]
    for figure in by_hand:
        if figure.value is None and case.mass_g:
            reasons.append(figure.derivation)
            ways += LIFT_WAYS
    counts = [figure.value for figure in (verdict.figure, *by_hand)]
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
        tip=tip,
        reasons=tuple(reasons),
        ways=tuple(way for way in dict.fromkeys(ways) if may_use(way, case, vehicle)),
        asks=verdict.asks,
        caution=CAUTIONS["ramp" if slope.sine else "lift" if lift else "push"],
    )


def _crossing(case: Case, vehicle: Vehicle, site: Site) -> Verdict:
    ramp = vehicle.ramp
    wet = ramp is not None and ramp.wet
    task = PushTask(case.mass_g, slope_of(vehicle), ROLLING[site.floor], wet=wet, hands=site.hands)
    return judge_crossing(
        Crossing(task, site.hands_there, ramp.rating_g if ramp else None), site.units
    )


def lift_limits_g(case: Case, site: Site, place: Place) -> tuple[int, ...]:
    """Return up to which mass one person, two and so on lift and tip a case in its place.

    Empty: nothing is lifted. A tip lifts half of the mass.
    """
    limits = []
    if (lift := lift_task(case, site, place)) is not None:
        limits.append(team_limits_g(replace(lift, mass_g=0)))
    if place.stance != "upright":
        half = team_limits_g(tip_task(0, case.height_um, site.hands))
        limits.append(tuple(2 * most for most in half))
    return tuple(min(most) for most in zip(*limits, strict=True))


def lift_of(case: Case, site: Site, place: Place | None) -> Figure | None:
    """Return the lift of a case that goes onto a lid, or that has no casters to roll on."""
    task = lift_task(case, site, place)
    return None if task is None else lift_figure(task, site.units)


def lift_task(case: Case, site: Site, place: Place | None) -> LiftTask | None:
    """Return where the hands lift a case from and to; None: it rolls to its place."""
    if place is not None and place.z:
        grip = grip_um(place.dz)
        # set down on a lid a case leaves the body: at arm's length
        return LiftTask(case.mass_g, grip, place.z + grip, site.hands, "arms_out")
    if not case.casters:
        return LiftTask(case.mass_g, grip_um(case.height_um), CARRY_UM, site.hands)
    return None


def tip_of(case: Case, site: Site, place: Place | None) -> Figure | None:
    """Return the tipping of a case that stands on its side or end; None: wheels down."""
    if place is None or place.stance == "upright":
        return None
    return lift_figure(tip_task(case.mass_g, case.height_um, site.hands), site.units)


def over_gate(case: Case, vehicle: Vehicle, site: Site) -> tuple[str, ...]:
    """Return why the lift gate of a vehicle without a ramp does not take a case."""
    gate = vehicle.lift_gate
    if gate is None or vehicle.ramp is not None or takes(gate, case):
        return ()
    if not stands_on(gate, case):
        return ("it is larger than the platform of the lift gate",)
    assert gate.rating_g is not None
    together = f"{mass_words(case.mass_g, site.units)} and its operator"
    return (
        f"{together} are over the lift gate's rating of {mass_words(gate.rating_g, site.units)}",
    )


def may_use(way: Way, case: Case, vehicle: Vehicle) -> bool:
    """Return whether a way out is not known to fail: the gate on board takes the case."""
    gate = vehicle.lift_gate
    return way != "lift_gate" or gate is None or takes(gate, case)


def _how(slope: Slope, move: Move) -> str:
    if not slope.sine:
        return UP_WORDS
    return DOWN_WORDS if move in {"load_in", "put_away"} else UP_WORDS
