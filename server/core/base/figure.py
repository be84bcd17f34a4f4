"""Figure: one result that can hurt someone if it is wrong, with where it comes from.

A figure never says that something is safe: it is a planning figure. Its caution names who decides.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Final, Literal, TypeAlias

from server.core.base.units import Units, from_g, from_um

Plain: TypeAlias = int | float | str | bool | None
Value: TypeAlias = "Plain | tuple[Value, ...]"
Number: TypeAlias = int | Fraction

Caution = Literal["planning", "straps", "axles", "push", "ramp", "lift"]

# Wording of design 3.6; the phone keeps its own translation under the same keys.
CAUTIONS: Final[dict[Caution, str]] = {
    "planning": (
        "Planning figure. Local law, the vehicle's plate, the maker's ratings and a competent "
        "person decide."
    ),
    "straps": (
        "Planning figure. Not checked: condition of straps, anchors, track and floor, caster "
        "brakes. Local law, the ratings on strap and anchor, and the driver decide."
    ),
    "axles": (
        "Planning figure from stated masses. The plate, a scale and local law decide, and the "
        "driver answers for the vehicle."
    ),
    "push": (
        "Planning figure from guidance, no permission. Stop when it feels too heavy. Local law and "
        "the crew chief decide."
    ),
    "ramp": (
        "Planning figure. Not checked: state and hooks of the ramp, surface, wind. Nobody below a "
        "case on a slope. The maker's rating, local law and the crew chief decide."
    ),
    "lift": (
        "Planning figure from guidance, no permission. It does not fit injured, pregnant or "
        "untrained people. Local law and a competent person decide."
    ),
}


@dataclass(frozen=True, slots=True)
class Figure:
    """One result: value and unit, the standard and clause, and the sentence that leads to it.

    `details` holds the parts of the sum by name, for whoever checks it by hand.
    """

    value: Value
    unit: str
    source: str
    derivation: str
    caution: Caution = "planning"
    details: tuple[tuple[str, Value], ...] = ()

    def detail(self, name: str) -> Value:
        """Return one named part of the sum; KeyError when there is none of that name."""
        for key, value in self.details:
            if key == name:
                return value
        raise KeyError(name)

    def whole(self) -> int:
        """Return the value of a figure that counts something."""
        assert isinstance(self.value, int)
        return self.value


def mass_words(grams: float | Fraction, units: Units) -> str:
    """Say a mass as people read it, e.g. `1,800 lb` or `816.5 kg`."""
    said = f"{from_g(round(grams), units.mass):,.1f}".removesuffix(".0")
    return f"{said} {units.mass}"


def length_words(um: float | Fraction, units: Units) -> str:
    """Say a length along the floor in feet or metres, e.g. `2.5 ft`."""
    unit = "ft" if units.length == "in" else "m"
    return f"{from_um(round(um), unit):.2f}".rstrip("0").rstrip(".") + f" {unit}"


def count_words(count: int, one: str, many: str | None = None) -> str:
    """Say a count with its noun, e.g. `1 strap`, `2 straps`."""
    return f"{count} {one if count == 1 else many or one + 's'}"
