"""EN 12195-1 and CTU Code: accelerations, blocking, friction and direct lashing, tilting.

Forces in newtons, masses in kilograms, angles in degrees. Factors differ by edition, so every
function takes the edition it counts by.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, cos, radians, sin
from typing import Final, Literal

G: Final = 9.81  # m/s2, EN 12195-1
Direction = Literal["forward", "sideways", "rearward"]
EditionName = Literal["older", "2003", "2010"]


@dataclass(frozen=True, slots=True)
class Edition:
    """Factors of one edition for road transport; shares of gravity unless said.

    `legs`: legs of a lashing over the top that count (k); `excess`: factor fs on friction lashing,
    `excess_forward` the same forward; `dynamic`: friction that counts beside direct lashing, as a
    share of the table's.
    """

    source: str
    forward: float
    sideways: float
    rearward: float
    tipping_direct: float
    tipping_top: float
    down: float
    legs: float
    excess: float
    excess_forward: float
    dynamic: float


# Accelerations and k: slides of a road union's academy on the revised EN 12195-1, 2010, slides 15
# and 23. Rearward, down and fs 1.25 forward: from memory, CTU Code 5.3 and the final 2010 text.
EDITIONS: Final[dict[EditionName, Edition]] = {
    "older": Edition(
        "IMO/ILO/UNECE guidelines, before the CTU Code",
        forward=1.0,
        sideways=0.5,
        rearward=0.5,
        tipping_direct=0.5,
        tipping_top=0.5,
        down=1.0,
        legs=2.0,
        excess=1.0,
        excess_forward=1.0,
        dynamic=0.7,
    ),
    "2003": Edition(
        "EN 12195-1:2003",
        forward=0.8,
        sideways=0.5,
        rearward=0.5,
        tipping_direct=0.7,
        tipping_top=0.7,
        down=1.0,
        legs=1.5,
        excess=1.0,
        excess_forward=1.0,
        dynamic=0.7,  # here dynamic friction counts over the top too: callers hand it in
    ),
    "2010": Edition(
        "EN 12195-1:2010, CTU Code annex 7",
        forward=0.8,
        sideways=0.5,
        rearward=0.5,
        tipping_direct=0.6,
        tipping_top=0.5,
        down=1.0,
        legs=2.0,
        excess=1.1,
        excess_forward=1.25,
        dynamic=0.75,
    ),
}
LATEST: Final = EDITIONS["2010"]


def acceleration(edition: Edition, direction: Direction) -> float:
    """Return the acceleration against sliding in one direction, as a share of gravity."""
    return {
        "forward": edition.forward,
        "sideways": edition.sideways,
        "rearward": edition.rearward,
    }[direction]


def count_up(exact: float) -> int:
    """Return the whole number of lashings; a last digit of the float is no lashing."""
    return max(0, ceil(exact - 1e-9))


def blocking_n(mass_kg: float, friction: float, share: float, down: float = 1.0) -> float:
    """Return the blocking force in newtons: (c - mu cz) m g, never below zero."""
    return max(0.0, (share - friction * down) * mass_kg * G)


@dataclass(frozen=True, slots=True)
class TopOver:
    """A lashing over the top: pretension STF by its label in newtons, angle to the floor."""

    pretension_n: float
    angle_deg: float = 90.0
    legs: float = 2.0
    excess: float = 1.0


def top_over_exact(
    mass_kg: float, friction: float, share: float, lashing: TopOver, down: float = 1.0
) -> float:
    """Return the number of lashings over the top against sliding, before rounding up.

    n = (c - mu cz) m g fs / (k mu sin(alpha) FT); zero where friction alone holds.
    """
    if friction * down >= share:
        return 0.0
    force = blocking_n(mass_kg, friction, share, down) * lashing.excess
    held = lashing.legs * friction * sin(radians(lashing.angle_deg)) * lashing.pretension_n
    return force / held if held > 0 else float("inf")


def held_kg(friction: float, share: float, lashing: TopOver, down: float = 1.0) -> float:
    """Return the mass that one lashing over the top keeps from sliding; infinite: no slide."""
    if friction * down >= share:
        return float("inf")
    held = lashing.legs * friction * sin(radians(lashing.angle_deg)) * lashing.pretension_n
    return held / ((share - friction * down) * G * lashing.excess)


@dataclass(frozen=True, slots=True)
class Direct:
    """A lashing straight from cargo to vehicle: capacity LC by its label in newtons.

    `angle_deg`: to the floor; `across_deg`: between its trace on the floor and the direction held.
    """

    capacity_n: float
    angle_deg: float = 0.0
    across_deg: float = 0.0


def direct_exact(
    mass_kg: float, friction: float, share: float, lashing: Direct, edition: Edition = LATEST
) -> float:
    """Return the number of direct lashings against sliding, before rounding up.

    n = (c - f mu cz) m g / (LC (cos a cos b + f mu sin a)), f the edition's share of friction.
    """
    counted = friction * edition.dynamic
    force = blocking_n(mass_kg, counted, share, edition.down)
    alpha, beta = radians(lashing.angle_deg), radians(lashing.across_deg)
    held = lashing.capacity_n * (cos(alpha) * cos(beta) + counted * sin(alpha))
    if force == 0:
        return 0.0
    return force / held if held > 1e-9 else float("inf")


@dataclass(frozen=True, slots=True)
class Box:
    """A case as it may tip: distance from its centre of gravity to the edge it tips over, metres.

    `width_m` is the whole side along the tipping direction.
    """

    to_edge_m: float
    centre_height_m: float
    width_m: float

    @classmethod
    def even(cls, base_m: float, height_m: float) -> Box:
        """Return a case with its centre of gravity in the middle."""
        return cls(base_m / 2, height_m / 2, base_m)


def tips(box: Box, share: float, down: float = 1.0) -> bool:
    """Return whether a case tips unless lashed or blocked high enough: b / h < c / cz."""
    return box.to_edge_m * down < share * box.centre_height_m - 1e-12


def tipping_moment_nm(mass_kg: float, box: Box, share: float, down: float = 1.0) -> float:
    """Return the moment that lashings must hold against tipping, in newton metres."""
    return max(0.0, mass_kg * G * (share * box.centre_height_m - down * box.to_edge_m))


def top_over_tipping_exact(mass_kg: float, box: Box, share: float, lashing: TopOver) -> float:
    """Return the number of lashings over the top against tipping (mechanics).

    n = fs m g (c h - cz b) / (w FT sin(alpha)), w the width of the case.
    """
    held = box.width_m * lashing.pretension_n * sin(radians(lashing.angle_deg))
    return lashing.excess * tipping_moment_nm(mass_kg, box, share) / held


def direct_tipping_exact(
    mass_kg: float, box: Box, share: float, lashing: Direct, height_m: float
) -> float:
    """Return the number of direct lashings, made fast at a height, against tipping (mechanics)."""
    alpha, beta = radians(lashing.angle_deg), radians(lashing.across_deg)
    lever = cos(alpha) * cos(beta) * height_m + sin(alpha) * box.width_m
    moment = tipping_moment_nm(mass_kg, box, share)
    if moment == 0:
        return 0.0
    return moment / (lashing.capacity_n * lever) if lever > 0 else float("inf")


def short_of_demand(
    mass_kg: float, friction: float, share: float, lashing: TopOver, count: int
) -> tuple[float, float]:
    """Return demand in newtons and by what share lashings over the top fall short (below 0: not).

    Demand c m g against mu (m g + k n FT sin(alpha)) / fs of the lashings' part.
    """
    demand = share * mass_kg * G
    pressed = lashing.legs * count * lashing.pretension_n * sin(radians(lashing.angle_deg))
    held = friction * (mass_kg * G + pressed / lashing.excess)
    return demand, 1 - held / demand


def angle_rule(angle_deg: float) -> str:
    """Say how the quick lashing guide takes an angle to the floor (ro-ro carrier's instruction)."""
    if angle_deg >= 75:
        return "table value"
    return "twice the lashings" if angle_deg >= 30 else "other method"
