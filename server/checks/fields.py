"""Fields of a question: each number carries its unit in its name, as in `mass_lb`, `length_m`.

Without a suffix (`mass`) the object's own `units` say it: {"units": {"mass": "lb"}}.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction
from typing import Any, Final, Literal

from server.trouble import BadInput

Kind = Literal[
    "mass", "length", "force", "angle", "number", "count", "flag", "choice", "text", "list", "rows"
]

# What one unit is in the base unit of its kind: grams, micrometres, newtons, degrees.
# 1 lbf = 0.45359237 x 9.80665 N, 1 kgf = 9.80665 N (standard gravity).
UNITS: Final[dict[str, dict[str, Fraction]]] = {
    "mass": {
        "lb": Fraction(45_359_237, 100_000),
        "kg": Fraction(1_000),
        "g": Fraction(1),
        "t": Fraction(1_000_000),
    },
    "length": {
        "in": Fraction(25_400),
        "ft": Fraction(304_800),
        "mm": Fraction(1_000),
        "cm": Fraction(10_000),
        "m": Fraction(1_000_000),
    },
    "force": {
        "lbf": Fraction("4.4482216152605"),
        "lb": Fraction("4.4482216152605"),
        "kgf": Fraction("9.80665"),
        "kg": Fraction("9.80665"),
        "N": Fraction(1),
        "daN": Fraction(10),
        "kN": Fraction(1_000),
    },
    "angle": {"deg": Fraction(1)},
}


@dataclass(frozen=True, slots=True)
class Field:
    """One field: its kind, what it means, and whether it may be left out.

    `default` counts in `unit` for numbers; `aliases` are other names for the same field.
    """

    name: str
    kind: Kind
    help: str
    required: bool = True
    default: Any = None
    unit: str = ""
    choices: tuple[str, ...] = ()
    aliases: tuple[str, ...] = ()
    least: float | None = None
    most: float | None = None
    above: float | None = None
    items: tuple[Field, ...] = ()

    def keys(self) -> dict[str, str]:
        """Return every key under which the field may come, with the unit that the key says."""
        names = (self.name, *self.aliases)
        units = UNITS.get(self.kind, {})
        found = {f"{name}_{unit}": unit for name in names for unit in units}
        return found | dict.fromkeys(names, "")


def option(name: str, kind: Kind, text: str, **more: Any) -> Field:
    """Return a field that may be left out."""
    return Field(name, kind, text, required=False, **more)


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number and the unit in which it came."""

    value: float
    unit: str
    kind: str

    def exact(self) -> Fraction:
        """Return it in grams, micrometres, newtons or degrees, exactly as written."""
        return Fraction(Decimal(repr(self.value))) * UNITS[self.kind][self.unit]

    def to(self, unit: str) -> float:
        """Return it in another unit of its kind."""
        if unit == self.unit:
            return self.value
        return float(self.exact() / UNITS[self.kind][unit])


@dataclass(frozen=True, slots=True)
class Given:
    """The fields of one question, read and checked; `stated`: those that the question holds."""

    place: str
    values: Mapping[str, Any]
    units: Mapping[str, str] = field(default_factory=dict)
    stated: frozenset[str] = frozenset()

    def __getitem__(self, name: str) -> Any:
        return self.values[name]

    def has(self, name: str) -> bool:
        """Return whether a field came or has a default."""
        return self.values.get(name) is not None

    def exact(self, name: str) -> Fraction:
        """Return a quantity exactly, in grams, micrometres or newtons."""
        quantity: Quantity = self.values[name]
        return quantity.exact()

    def to(self, name: str, unit: str) -> float:
        """Return a quantity in a unit."""
        quantity: Quantity = self.values[name]
        return quantity.to(unit)

    def unit(self, name: str) -> str:
        """Return the unit in which a quantity came."""
        quantity: Quantity = self.values[name]
        return quantity.unit

    def trouble(self, name: str, expected: str) -> BadInput:
        """Return the complaint about one field."""
        got = self.values.get(name)
        return BadInput(
            f"{self.place}.{name}", expected, got.value if isinstance(got, Quantity) else got
        )
