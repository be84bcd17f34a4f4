"""How many people push a case: HSE figures and the house rule, the larger of the two taken.

The figures of HSE are a filter for planning: hands between knuckle and shoulder, 20 m at most.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil
from typing import Final, Literal

from server.core.base.figure import Figure, Value, count_words, mass_words
from server.core.base.units import Units, to_g
from server.core.handling.slope import FLAT, ROLLING_GOOD, Slope

HSE_SOURCE: Final = "HSE push-pull assessment and INDG143"
HOUSE_SOURCE: Final = "house rule (common practice, no source)"
MOST_AT_ONE_CASE: Final = 6  # hands that find room around one case; common practice, no source
BODY_KG: Final = 70.0  # one person who pushes; common practice, no source
# NIOSH (DHHS 94-110, 1.2) takes 0.4 as the least friction of shoe on floor; wet is no better.
GRIP_WET: Final = 0.4
GRIP_DRY: Final = 0.6  # boots on a dry ramp; common practice, no source
GRIP_ICE: Final = 0.1  # boots on ice; common practice, no source

Hands = Literal["men", "mixed"]


@dataclass(frozen=True, slots=True)
class PushLimit:
    """What one person pushes, in kilograms of force: to start or stop, and to keep going."""

    start_kgf: float
    keep_going_kgf: float


# HSE push-pull assessment: 20 and 10 kgf for men, 15 and 7 kgf for women; mixed takes the lower.
HSE_LIMITS: Final[dict[Hands, PushLimit]] = {
    "men": PushLimit(20.0, 10.0),
    "mixed": PushLimit(15.0, 7.0),
}

# House rule: up to this mass so many people; common practice, no source.
HOUSE_STEPS: Final = tuple(
    (to_g(pounds, "lb"), people) for pounds, people in ((100, 1), (250, 2), (450, 3), (650, 4))
)
HOUSE_MOST: Final = 4


@dataclass(frozen=True, slots=True)
class PushTask:
    """One case and the way it goes: a slope, how well it rolls, wet, icy or dry, who pushes.

    A mass of zero is not known: no number of people can be said for it.
    """

    mass_g: int
    slope: Slope = FLAT
    rolling: float = ROLLING_GOOD
    wet: bool = False
    hands: Hands = "mixed"
    ice: bool = False

    @property
    def slippery(self) -> bool:
        """Return whether feet may slip on the way."""
        return self.wet or self.ice

    @property
    def grip(self) -> float:
        """Return the friction of feet on the way."""
        return GRIP_ICE if self.ice else GRIP_WET if self.wet else GRIP_DRY

    @property
    def state(self) -> str:
        """Say the state of the way in a word, empty when dry."""
        return "icy " if self.ice else "wet " if self.wet else ""

    @property
    def force_kgf(self) -> float:
        """Return the push along the way in kilograms of force."""
        return self.slope.force(self.mass_g / 1000, self.rolling)


def grip_kgf(slope: Slope, grip: float | None = None, body_kg: float | None = None) -> float:
    """Return what feet can hold on a slope before they slip: body (grip cos t - sin t)."""
    grip = GRIP_WET if grip is None else grip
    body_kg = BODY_KG if body_kg is None else body_kg
    return max(0.0, body_kg * (grip * slope.cosine - slope.sine))


def people_by_hse(task: PushTask, hands: Hands) -> tuple[int, int] | None:
    """Return people to start and to keep going; None where feet hold nothing at all."""
    limit = HSE_LIMITS[hands]
    start, keep = limit.start_kgf, limit.keep_going_kgf
    grip = grip_kgf(task.slope, task.grip)
    if grip < 1.0:
        return None
    if task.slippery:
        start, keep = min(start, grip), min(keep, grip)
    return _share(task.force_kgf, start), _share(task.force_kgf, keep)


def _share(force: float, each: float) -> int:
    return max(1, ceil(force / each - 1e-9))


def people_by_house(task: PushTask) -> int:
    """Return people by the house rule: by mass, one more above 1 in 12, two above 1 in 4, wet +1.

    Above the last step four stay at the case and a machine helps; `needs_machine` says so.
    """
    people = next((n for most, n in HOUSE_STEPS if task.mass_g <= most), HOUSE_MOST)
    run = task.slope.run_per_rise
    people += 2 if run < 4 - 1e-9 else 1 if run < 12 - 1e-9 else 0
    return people + (1 if task.slippery and task.slope.sine else 0)


def needs_machine(task: PushTask) -> bool:
    """Return whether the house rule wants a winch, lift gate or forklift on this slope."""
    return bool(task.slope.sine) and task.mass_g > HOUSE_STEPS[-1][0]


def spotters(slope: Slope) -> int:
    """Return who stands by and does not push: one on any ramp; common practice, no source."""
    return 1 if slope.sine else 0


def push_figure(task: PushTask, units: Units | None = None) -> Figure:
    """Return the people to push a case, spotter not counted; value None: no number will do."""
    units = units or Units()
    if not task.mass_g:
        why = "mass not known: weigh it, or the chief answers for a guess"
        return Figure(None, "people", f"{HSE_SOURCE}; {HOUSE_SOURCE}", why, "push")
    house = people_by_house(task)
    hse = people_by_hse(task, task.hands)
    force = task.force_kgf
    say = (
        f"{mass_words(task.mass_g, units)} on {'an' if task.ice else 'a'} {task.state}"
        f"{'slope of ' if task.slope.sine else ''}{task.slope.words()}, rolling resistance "
        f"{100 * task.rolling:g} %, asks "
        f"{mass_words(force * 1000, units)} of push"
    )
    parts: tuple[tuple[str, Value], ...] = (
        ("force_kgf", round(force, 3)),
        ("house", house),
        ("spotters", spotters(task.slope)),
    )
    source = f"{HSE_SOURCE}; {HOUSE_SOURCE}"
    if hse is None:
        why = f"no number of people: {say}, and {task.state}feet hold nothing on it"
        return Figure(None, "people", source, why, "ramp", parts)
    people = max(house, *hse)
    mixed = people_by_hse(task, "mixed")
    limit = HSE_LIMITS[task.hands]
    taken = "house rule" if house >= max(hse) else "HSE figure"
    grip = grip_kgf(task.slope, task.grip)
    feet = f" ({task.state}feet hold {grip:.1f} kgf each)" if task.slippery else ""
    why = (
        f"{count_words(people, 'person', 'people')} because {say}{feet}; HSE "
        f"{limit.start_kgf:g} kgf each to start asks {hse[0]}, {limit.keep_going_kgf:g} kgf each "
        f"to keep going {hse[1]}, house rule {house}: the {taken} is taken"
    )
    if mixed and task.hands == "men" and max(mixed) > people:
        why += f"; with women pushing (15 and 7 kgf) HSE asks {max(mixed)}"
    parts += (
        ("to_start", hse[0]),
        ("to_keep_going", hse[1]),
        ("mixed_hands", max(mixed) if mixed else None),
    )
    caution: Literal["ramp", "push"] = "ramp" if task.slope.sine else "push"
    return Figure(people, "people", source, why, caution, parts)
