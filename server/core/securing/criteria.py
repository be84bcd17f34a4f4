"""Performance criteria of 49 CFR 393.102 and strength of walls (393.114, EN 12642)."""

from __future__ import annotations

from typing import Final, Literal

from server.core.base.figure import Figure

Way = Literal["forward", "rearward", "lateral"]
Strength = Literal["breaking", "wll"]
# Shares of gravity, 49 CFR 393.102(a)(1) at breaking strength and (a)(2) at working load limit.
SHARES: Final[dict[tuple[Way, Strength], float]] = {
    ("forward", "breaking"): 0.8,
    ("rearward", "breaking"): 0.5,
    ("lateral", "breaking"): 0.5,
    ("forward", "wll"): 0.435,
    ("rearward", "wll"): 0.5,
    ("lateral", "wll"): 0.25,
}
DOWN_SHARE: Final = 0.2  # 49 CFR 393.102(b), article not contained by the vehicle's structure


def criterion(weight: float, unit: str, way: Way, strength: Strength) -> Figure:
    """Return the force that securing must hold in one direction, in the unit of the weight."""
    share = SHARES[way, strength]
    at = "breaking strength" if strength == "breaking" else "working load limit"
    return Figure(
        weight * share,
        unit,
        f"49 CFR 393.102(a)({1 if strength == 'breaking' else 2})",
        f"{share:g} g {way} at {at}, of {weight:,g} {unit}",
        "straps",
    )


def down_criterion(weight: float, unit: str) -> Figure:
    """Return the downward force on an article that the vehicle's structure does not contain."""
    return Figure(
        weight * DOWN_SHARE,
        unit,
        "49 CFR 393.102(b)",
        f"20 % of {weight:,g} {unit}; in a closed van 393.106(b) applies instead",
        "straps",
    )


def front_wall(height_ft: float, cargo: float, unit: str) -> Figure:
    """Return the static load that a front end structure must stand (393.114, from memory).

    Half the cargo under 6 ft of height, 0.4 of it from 6 ft on.
    """
    share = 0.5 if height_ft < 6 else 0.4
    return Figure(
        cargo * share,
        unit,
        "49 CFR 393.114(b)-(d), from memory",
        f"{share:g} of {cargo:,g} {unit} because the structure is {height_ft:g} ft high",
        "straps",
    )


BodyCode = Literal["L", "XL"]
Wall = Literal["front", "side", "rear"]
# EN 12642, from memory: shares of the payload, and for code L caps of 5,000 and 3,100 daN.
BODY_SHARES: Final[dict[tuple[BodyCode, Wall], float]] = {
    ("L", "front"): 0.4,
    ("L", "side"): 0.3,
    ("L", "rear"): 0.25,
    ("XL", "front"): 0.5,
    ("XL", "side"): 0.4,
    ("XL", "rear"): 0.3,
}
# The caps taken as kilograms of force, which is below 5,000 and 3,100 daN: the safe side.
CAPS_KN: Final[dict[tuple[BodyCode, Wall], float]] = {
    ("L", "front"): 5_000 * 9.81 / 1000,
    ("L", "rear"): 3_100 * 9.81 / 1000,
}


def body_wall_kn(payload_kg: float, code: BodyCode, wall: Wall) -> Figure:
    """Return what a wall of the body stands by EN 12642, in kilonewtons (from memory).

    The cap of code L is taken at 5,000 kgf and 3,100 kgf: below 5,000 daN, so on the safe side.
    """
    share = BODY_SHARES[code, wall]
    force = payload_kg * 9.81 / 1000 * share
    capped = min(force, CAPS_KN.get((code, wall), force))
    cap = ", at the cap of code L" if capped < force else ""
    return Figure(
        round(capped, 3),
        "kN",
        f"EN 12642 code {code}, from memory",
        f"{share:g} of a payload of {payload_kg:,g} kg on the {wall} wall{cap}",
        "straps",
    )
