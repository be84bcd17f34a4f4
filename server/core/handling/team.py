"""Lifts by several people: HSE shares, other references beside them, and when hands are not it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cache
from typing import Final

from server.core.base.figure import Figure, Value, count_words, mass_words
from server.core.base.units import Units, to_g
from server.core.handling.lift_zones import Reach, each_kg, zones_between
from server.core.handling.push import Hands

HSE_SOURCE: Final = "HSE L23, guidance on the Manual Handling Operations Regulations, para 119-120"
MIL_SOURCE: Final = "MIL-STD-1472F 5.9.11.3, from memory"

# HSE L23: share of the summed capability that a team has; no share above three, and teams of more
# than four are unlikely to work.
HSE_SHARES: Final[dict[int, Fraction]] = {1: Fraction(1), 2: Fraction(2, 3), 3: Fraction(1, 2)}
MOST_IN_A_TEAM: Final = 4
CARRY_UM: Final = 900_000  # hands that carry, knuckle to elbow; common practice, no source
MIL_EACH_MIXED_LB: Final = 44.0  # MIL-STD-1472F, mixed crew, floor to 3 or 5 ft, from memory
CORNERS: Final = 4  # one at each corner of a case; common practice, no source
HEAVIEST_LIFT_G: Final = 1_000_000  # no team lifts so much
LIFT_TOP_UM: Final = 1_524_000  # 5 ft, the highest lift that MIL-STD-1472F gives figures for
# EN 1005-2 and ISO 11228-1 practice: on each person's share of a lift by two; on one hand.
TWO_PEOPLE: Final = 0.85
ONE_HAND: Final = 0.6
# Strength of a team as a share of its members' sum, soldiers lifting once (journal abstract): an
# upper bound, no fall from two people to four.
MEASURED_SHARES: Final[dict[str, float]] = {"men": 0.873, "women": 0.911, "mixed": 0.802}


def hse_capacity(people: int, each: float) -> float | None:
    """Return what a team lifts by HSE, in the unit of `each`; None: HSE gives no figure."""
    share = HSE_SHARES.get(people)
    return None if share is None else float(share) * people * each


def mil_capacity(people: int, one_person: float) -> float:
    """Return what a team lifts by MIL-STD-1472F: double for two, then 75 % for each further one."""
    return one_person * (people if people <= 2 else 2 + 0.75 * (people - 2))


def least_team(mass: float, each: float) -> int | None:
    """Return the smallest team that lifts a mass by HSE; None: more than three can."""
    fits = (n for n in HSE_SHARES if mass <= float(HSE_SHARES[n]) * n * each + 1e-9)
    return next(fits, None)


@dataclass(frozen=True, slots=True)
class LiftTask:
    """One case lifted by hand: its mass, the heights of the hands at start and end, who lifts.

    `reach`: how the hands end, close to the body or at arm's length. `each_kg`: what one person
    lifts at any height, instead of the zones of HSE.
    """

    mass_g: int
    from_um: int = CARRY_UM
    to_um: int = CARRY_UM
    hands: Hands = "mixed"
    reach: Reach = "close"
    each_kg: float | None = None


def grip_um(height_um: int) -> int:
    """Return how high the grips of a standing case are: half way up, common practice, no source."""
    return height_um // 2


def tip_task(mass_g: int, height_um: int, hands: Hands) -> LiftTask:
    """Return the lift by which a case is tipped onto its side or end: half of its mass.

    Over the edge that stays on the floor the free edge carries m/2 as it leaves the floor and as it
    is let down (mechanics, centre in the middle); the hands go from the floor to the grips.
    """
    return LiftTask(-(-mass_g // 2), 0, grip_um(height_um), hands)


def lift_figure(task: LiftTask, units: Units | None = None) -> Figure:
    """Return the people to lift a case; value None: no team, mechanical help.

    HSE by zones first; above its largest team MIL-STD-1472F for a mixed crew, said so; above that
    nobody.
    """
    units = units or Units()
    say = f"{mass_words(task.mass_g, units)} is lifted"
    if not task.mass_g:
        why = "mass not known: weigh it, or the chief answers for a guess"
        return Figure(None, "people", HSE_SOURCE, why, "lift")
    each, where = _each(task)
    by_hse = None if each is None else least_team(task.mass_g / 1000, each)
    limits = [to_g(mil_capacity(n, MIL_EACH_MIXED_LB), "lb") for n in range(1, MOST_IN_A_TEAM + 1)]
    by_mil = next((n for n, most in enumerate(limits, 1) if task.mass_g <= most), None)
    parts: tuple[tuple[str, Value], ...] = (
        ("hse", by_hse),
        ("each_kg", each),
        ("zone", where),
        ("mil_std_1472f_mixed", by_mil),
    )
    if max(task.from_um, task.to_um) > LIFT_TOP_UM:
        why = f"no team: {say} higher than 5 ft, for which no reference gives a figure"
        return Figure(None, "people", f"{HSE_SOURCE}; {MIL_SOURCE}", why, "lift", parts)
    if by_hse is not None:
        why = (
            f"{count_words(by_hse, 'person', 'people')} because {say} and HSE counts "
            f"{float(HSE_SHARES[by_hse]) * 100:.0f} % of {by_hse} x {each:g} kg{where}"
        )
        if by_mil != by_hse:
            why += f"; MIL-STD-1472F for a mixed crew (from memory) says {by_mil or 'none'}"
        return Figure(by_hse, "people", HSE_SOURCE, why, "lift", parts)
    if by_mil is not None:
        people = max(by_mil, CORNERS)
        why = (
            f"{people} people because {say}, which MIL-STD-1472F for a mixed crew (from memory) "
            f"gives to {by_mil} and the house to one at each corner; HSE gives no figure above "
            f"three people{where} and would want mechanical help"
        )
        return Figure(people, "people", f"{MIL_SOURCE}; {HSE_SOURCE}", why, "lift", parts)
    why = f"no team: {say}, more than any reference gives a team of {MOST_IN_A_TEAM}"
    return Figure(None, "people", f"{HSE_SOURCE}; {MIL_SOURCE}", why, "lift", parts)


@cache
def team_limits_g(task: LiftTask) -> tuple[int, ...]:
    """Return the heaviest case for one person, two, and so on up to the largest team.

    The mass of the task is not counted: a phone that weighs a case reads its team from here.
    """
    found = []
    for people in range(1, MOST_IN_A_TEAM + 1):
        low, high = 0, HEAVIEST_LIFT_G
        while low < high:
            middle = (low + high + 1) // 2
            value = lift_figure(replace(task, mass_g=middle)).value
            fits = isinstance(value, int) and value <= people
            low, high = (middle, high) if fits else (low, middle - 1)
        found.append(low)
    return tuple(found)


def _each(task: LiftTask) -> tuple[float | None, str]:
    """Return what one person lifts, and where the hands are when they lift least, in words."""
    if task.each_kg is not None:
        return task.each_kg, ""
    path = zones_between(task.from_um, task.to_um)
    end = zones_between(task.to_um, task.to_um)
    if path is None or end is None:
        return None, ""
    on_the_way = (*each_kg(path, task.hands, "close"), "")
    at_the_end = (*each_kg(end, task.hands, task.reach), _REACH_WORDS[task.reach])
    kilograms, zone, reach = min(on_the_way, at_the_end, key=lambda one: one[0])
    return kilograms, f" (hands {zone.name}{reach})"


_REACH_WORDS: Final[dict[Reach, str]] = {"close": "", "arms_out": ", arms out"}
