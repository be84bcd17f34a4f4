"""Reads the fields of a question out of JSON; each complaint names the field and what it wants.

A key that no field has is refused by name, so that a slip of the pen is never taken for a default.
"""

from __future__ import annotations

import difflib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from server.checks.fields import UNITS, Field, Given, Quantity
from server.trouble import BadInput

# No load, strap or ramp is smaller or greater; within these no sum runs over.
TINIEST: Final = 1e-9
GREATEST: Final = 1e12


@dataclass(frozen=True, slots=True)
class Spot:
    """Where in the question a value stands, and the units that hold there."""

    place: str
    units: Mapping[str, str]

    def at(self, name: str) -> Spot:
        """Return a spot inside this one."""
        return Spot(f"{self.place}{name}", self.units)

    def wants(self, expected: str, got: Any) -> BadInput:
        """Return the complaint about this spot."""
        return BadInput(self.place, expected, got if isinstance(got, str) else repr(got)[:80])


def read(raw: Any, fields: tuple[Field, ...], place: str, units: Mapping[str, str]) -> Given:
    """Return the fields of one JSON object; BadInput names the one that is wrong."""
    outer = Spot(place, units)
    if not isinstance(raw, dict):
        raise outer.wants("an object", repr(raw)[:80])
    spot = Spot(place, {**units, **_units(raw.get("units", {}), outer.at(".units"))})
    known = {key: (one, unit) for one in fields for key, unit in one.keys().items()}
    values: dict[str, Any] = {}
    for key, value in raw.items():
        if key in {"units", "method"} or value is None:
            continue
        here = spot.at(f".{key}")
        if key not in known:
            raise here.wants(f"a field of this method{_near(key, known)}", "an unknown one")
        one, unit = known[key]
        if one.name in values:
            raise here.wants(f"{one.name} once", "it twice")
        values[one.name] = _value(one, value, unit, here)
    stated = frozenset(values)
    for one in fields:
        if one.name not in values:
            values[one.name] = _missing(one, spot.at(f".{one.name}"))
    return Given(place, values, spot.units, stated)


def _units(raw: Any, spot: Spot) -> dict[str, str]:
    if not isinstance(raw, dict):
        raise spot.wants(f"an object of {', '.join(UNITS)}", repr(raw)[:80])
    for kind, unit in raw.items():
        if kind not in UNITS:
            raise spot.at(f".{kind}").wants(f"one of {', '.join(UNITS)}", "an unknown kind")
        if unit not in UNITS[kind]:
            raise spot.at(f".{kind}").wants(f"one of {', '.join(UNITS[kind])}", unit)
    return dict(raw)


def _missing(one: Field, spot: Spot) -> Any:
    if one.required:
        keys = [key for key, unit in one.keys().items() if unit or one.kind not in UNITS]
        raise spot.wants(f"{one.help} ({' or '.join(keys[:4])})", "nothing")
    if one.default is None or one.kind not in UNITS:
        return one.default
    return Quantity(one.default, one.unit, one.kind)


def _value(one: Field, value: Any, unit: str, spot: Spot) -> Any:
    match one.kind:
        case "mass" | "length" | "force" | "angle":
            return _quantity(one, value, unit, spot)
        case "number":
            return _number(one, value, spot)
        case "count":
            return _count(one, value, spot)
        case "flag" if isinstance(value, bool):
            return value
        case "flag":
            raise spot.wants("true or false", value)
        case "choice" if value in one.choices:
            return value
        case "choice":
            raise spot.wants(f"one of {', '.join(one.choices)}", value)
        case "text" if isinstance(value, str):
            return value
        case "text":
            raise spot.wants("a text", value)
    return _several(one, value, spot)


def _quantity(one: Field, value: Any, unit: str, spot: Spot) -> Quantity:
    unit = unit or spot.units.get(one.kind, "deg" if one.kind == "angle" else "")
    if not unit:
        known = ", ".join(UNITS[one.kind])
        raise spot.wants(f'its unit in the name or in "units" ({known})', "none")
    return Quantity(_number(one, value, spot), unit, one.kind)


def _number(one: Field, value: Any, spot: Spot) -> float:
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        raise spot.wants("a number", value)
    if value != 0 and not TINIEST <= abs(value) <= GREATEST:  # not a number fails here too
        raise spot.wants(f"a number between {TINIEST:g} and {GREATEST:g} in size, or 0", value)
    if one.above is not None and value <= one.above:
        raise spot.wants(f"a number above {one.above:g}", value)
    if one.least is not None and value < one.least:
        raise spot.wants(f"a number of at least {one.least:g}", value)
    if one.most is not None and value > one.most:
        raise spot.wants(f"a number of at most {one.most:g}", value)
    return value


def _count(one: Field, value: Any, spot: Spot) -> int:
    number = _number(one, value, spot)
    if number != int(number):
        raise spot.wants("a whole number", value)
    return int(number)


def _several(one: Field, value: Any, spot: Spot) -> tuple[Any, ...]:
    """Read a list of values, or of rows: objects, or lists with the fields in their order."""
    if not isinstance(value, list) or not value:
        raise spot.wants("a list with at least one entry", value)
    entries = [(entry, spot.at(f"[{n}]")) for n, entry in enumerate(value)]
    if one.kind == "list":
        return tuple(_value(one.items[0], entry, "", here) for entry, here in entries)
    return tuple(_row(one, entry, here) for entry, here in entries)


def _row(one: Field, entry: Any, spot: Spot) -> Given:
    if isinstance(entry, list):
        if len(entry) > len(one.items):
            names = ", ".join(item.name for item in one.items)
            raise spot.wants(f"at most {len(one.items)} entries ({names})", entry)
        entry = {item.name: part for item, part in zip(one.items, entry, strict=False)}
    return read(entry, one.items, spot.place, spot.units)


def _near(key: str, known: Mapping[str, object]) -> str:
    close = difflib.get_close_matches(key, known, n=1)
    if close:
        return f" (did you mean {close[0]}?)"
    return f" ({', '.join(sorted(known))})"[:300]
