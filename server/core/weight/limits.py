"""Limits of a vehicle against what stands on it: payload, supports, gross, tongue, sides.

The plate decides; a limit that nobody gave is not judged and not listed.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from server.core.base.figure import Figure, mass_words
from server.core.base.units import Units
from server.core.shop.vehicle import AxleKind, Axles, Vehicle
from server.core.weight.balance import MOMENTS_SOURCE, Balance

LimitName = Literal["payload", "front", "rear", "gross", "steering", "front_share", "sides"]
PLATE: str = "the vehicle's plate"

FRONT_WORDS: dict[AxleKind, str] = {"truck": "front axle", "kingpin": "kingpin", "ball": "tongue"}
REAR_WORDS: dict[AxleKind, str] = {
    "truck": "rear axle",
    "kingpin": "group of trailer axles",
    "ball": "trailer axle",
}


@dataclass(frozen=True, slots=True)
class Limit:
    """One limit: kept or not, the margin left (below zero: over) in grams or as a share.

    `hard`: a vehicle over it is held; else it is a warning.
    """

    name: LimitName
    kept: bool
    margin: float
    hard: bool
    figure: Figure


def limits(
    vehicle: Vehicle, balance: Balance, side_difference: float, units: Units | None = None
) -> tuple[Limit, ...]:
    """Return every limit that is known for a vehicle, in the order in which they hurt."""
    units = units or Units()
    found = []
    if vehicle.payload_g is not None:
        found.append(_most("payload", "load", balance.load_g, vehicle.payload_g, units))
    if vehicle.axles is not None:
        found += _supports(vehicle.axles, balance, units)
    if balance.load_g:
        found.append(_sides(vehicle, balance, side_difference, units))
    return tuple(found)


def over(found: tuple[Limit, ...]) -> tuple[Limit, ...]:
    """Return the limits that are not kept."""
    return tuple(limit for limit in found if not limit.kept)


def _most(name: LimitName, what: str, carried_g: int, most_g: int, units: Units) -> Limit:
    margin = most_g - carried_g
    say = (
        f"{what} carries {mass_words(carried_g, units)} of {mass_words(most_g, units)}"
        if name != "payload"
        else f"load of {mass_words(carried_g, units)} on a payload of {mass_words(most_g, units)}"
    )
    rest = f"{mass_words(abs(margin), units)} {'left' if margin >= 0 else 'over'}"
    source = f"{PLATE}; {MOMENTS_SOURCE}" if name != "payload" else PLATE
    figure = Figure(carried_g, "g", source, f"{say}: {rest}", "axles", (("most_g", most_g),))
    return Limit(name, margin >= 0, margin, True, figure)


def _supports(axles: Axles, balance: Balance, units: Units) -> list[Limit]:
    front, rear, gross = balance.front_g, balance.rear_g, balance.gross_g
    assert front is not None
    assert rear is not None
    assert gross is not None
    found = []
    ends: tuple[tuple[LimitName, str, int, int | None], ...] = (
        ("front", FRONT_WORDS[axles.kind], front, axles.front_limit_g),
        ("rear", REAR_WORDS[axles.kind], rear, axles.rear_limit_g),
    )
    for name, words, carried, most in ends:
        if carried < 0:
            found.append(_lifted(name, words, carried, units))
        elif most is not None:
            found.append(_most(name, words, carried, most, units))
    if axles.gross_limit_g is not None:
        found.append(_most("gross", "vehicle", gross, axles.gross_limit_g, units))
    if axles.kind == "truck":
        found.append(_steering(axles, front, gross, units))
    elif axles.least_share is not None or axles.most_share is not None:
        found.append(_share(axles, front, gross, units))
    return found


def _lifted(name: LimitName, words: str, carried_g: int, units: Units) -> Limit:
    say = f"the load lifts the {words}: {mass_words(carried_g, units)} by moments, below zero"
    figure = Figure(carried_g, "g", MOMENTS_SOURCE, say, "axles")
    return Limit(name, kept=False, margin=carried_g, hard=True, figure=figure)


def _steering(axles: Axles, front_g: int, gross_g: int, units: Units) -> Limit:
    """Warn where the load lifts the front axle; under its least share the vehicle is held."""
    lifted = axles.empty_front_g - front_g
    words = FRONT_WORDS[axles.kind]
    least = axles.least_share or 0.0
    share = front_g / gross_g if gross_g else 0.0
    short = front_g < 0 or share < least
    say = (
        f"the load takes {mass_words(lifted, units)} off the {words}: it steers and brakes worse"
        if lifted > 0
        else f"the load adds {mass_words(-lifted, units)} to the {words}"
    )
    say += f"; it carries {share:.1%} of the mass on the ground, at least {least:.0%} wanted"
    source = f"{MOMENTS_SOURCE}; least share: as stated, else common practice, no source"
    parts = (("share", share), ("least", least))
    figure = Figure(front_g, "g", source, say, "axles", parts)
    return Limit("steering", lifted <= 0 and not short, -lifted, short, figure)


def _share(axles: Axles, front_g: int, gross_g: int, units: Units) -> Limit:
    low, high = axles.least_share or 0.0, 1.0 if axles.most_share is None else axles.most_share
    share = front_g / gross_g if gross_g else 0.0
    margin = min(share - low, high - share)
    words = FRONT_WORDS[axles.kind]
    say = f"{mass_words(front_g, units)} on the {words} is {share:.1%} of the gross mass"
    if share < low:
        say += f", under {low:.0%}: it may sway; move heavy rows to the bulkhead"
    elif share > high:
        say += f", over {high:.0%}: move heavy rows to the door"
    else:
        say += f", within {low:.0%} to {high:.0%}"
    source = f"{MOMENTS_SOURCE}; 10 to 15 %: trailer-loading guides"
    figure = Figure(share, "share", source, say, "axles", (("low", low), ("high", high)))
    return Limit("front_share", margin >= 0, margin, True, figure)


def _sides(vehicle: Vehicle, balance: Balance, most: float, units: Units) -> Limit:
    driver, kerb = balance.left_g, balance.right_g
    if vehicle.driver_side == "right":
        driver, kerb = kerb, driver
    share = balance.side_difference
    heavy = "driver side" if driver > kerb else "kerb side"
    tipped = f"{share:.0%} heavier on the {heavy}" if driver != kerb else "even"
    say = (
        f"driver side {mass_words(driver, units)}, kerb side {mass_words(kerb, units)}: "
        f"{tipped}, at most {most:.0%} wanted"
    )
    source = "house rule (common practice, no source)"
    figure = Figure(share, "share", source, say, "axles")
    return Limit("sides", share <= most, most - share, False, figure)
