"""The units of the sides and masses of a list: stated, shown by its cells, or the likeliest."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Final

from server.core.base.measures import G_PER, MM_PER, Amount, Decimal, Refusal, millimetres
from server.files.lists.cells import decimal_of, length_of, mass_of
from server.files.lists.columns import Roles
from server.files.lists.fitting import (
    LENGTHS,
    MASSES,
    MOST_KINDS,
    Kind,
    best_units,
    impossible,
    likelihood,
)
from server.files.lists.sheets import Cell
from server.files.lists.sides import read_parts
from server.files.lists.table import Table, text_of_cell
from server.files.lists.words import SIDES

SURE: Final = 2.0  # by how much a unit must lead, as a logarithm a case, to be asked but once
SPOKEN: Final = {
    "in": "inches", "ft": "feet", "cm": "centimetres", "mm": "millimetres", "m": "metres",
    "lb": "pounds", "kg": "kilograms", "g": "grams", "t": "tonnes", "oz": "ounces",
}  # fmt: skip


@dataclass(slots=True)
class ListUnits:
    """Unit and decimal mark of every measured column; `doubts` concern the whole list."""

    unit: dict[int, str] = field(default_factory=dict)
    decimal: dict[int, Decimal] = field(default_factory=dict)
    mass: str = ""
    doubts: list[str] = field(default_factory=list)


Sides = tuple[Amount | Refusal, Amount | Refusal, Amount | Refusal]


def sides_of(row: tuple[Cell, ...], roles: Roles, units: ListUnits) -> Sides | None:
    """Return length, width and height of a row; None where one cell should hold three."""
    single: dict[str, Amount | Refusal] = {
        side: _single(row, roles, units, side) for side in SIDES if side in roles.places
    }
    if "sides" not in roles.places:
        blank = Refusal("blank")
        return (
            single.get("length", blank),
            single.get("width", blank),
            single.get("height", blank),
        )
    place = roles.places["sides"]
    cell = row[place] if place < len(row) else ""
    read = read_parts(text_of_cell(cell), units.unit.get(place), units.decimal.get(place, "either"))
    if read is None and single:  # the height stands in a column of its own
        lost = Refusal("unreadable" if text_of_cell(cell) else "blank")
        return single.get("length", lost), single.get("width", lost), single.get("height", lost)
    if read is None:
        return None
    amounts, order = read
    rest = tuple(side for side in roles.order if side not in single)
    named = dict(zip(order or (roles.order if len(amounts) == 3 else rest), amounts, strict=False))
    if len(named) != len(amounts):
        return None
    both: dict[str, Amount | Refusal] = {**single, **named}
    if set(both) != set(SIDES):
        return None
    return both["length"], both["width"], both["height"]


def _single(row: tuple[Cell, ...], roles: Roles, units: ListUnits, side: str) -> Amount | Refusal:
    place = roles.places[side]
    cell = row[place] if place < len(row) else ""
    return length_of(cell, units.unit.get(place), units.decimal.get(place, "either"))


def units_of(table: Table, roles: Roles, chosen: Mapping[str, str]) -> ListUnits:
    """Return the units of a list; `chosen` holds what a person said of length and mass."""
    found = ListUnits()
    side_places = [roles.places[role] for role in (*SIDES, "sides") if role in roles.places]
    mass_place = roles.places.get("mass")
    stated = {p: u for p in side_places if (u := table.columns[p].unit) in MM_PER and u}
    named = {u for u in table.named_units if u in MM_PER} or set(stated.values())
    for place in side_places:
        unit = (
            chosen.get("length")
            or stated.get(place)
            or (next(iter(named)) if len(named) == 1 else "")
        )
        found.decimal[place] = decimal_of(_cells(table, place), unit or None)
        if unit:
            found.unit[place] = unit
    mass = _stated_mass(table, mass_place, chosen)
    if mass_place is not None:
        found.decimal[mass_place] = decimal_of(_cells(table, mass_place), mass or None)
    missing = [place for place in side_places if place not in found.unit]
    bare_mass = mass_place is not None and not mass and _bare_masses(table, mass_place, found)
    kinds = _kinds(table, roles, found, mass_place)
    lengths = LENGTHS if missing else tuple(set(found.unit.values()) & set(LENGTHS)) or LENGTHS
    length, likely, lead = best_units(kinds, lengths, (mass,) if mass in MASSES else MASSES)
    if missing:
        carried, bare = _carried(table, roles, found)
        length = length if kinds or not carried else carried
        shown = _shown(table, roles, found)
        for place in missing:
            found.unit[place] = shown or length
        if bare and not shown:
            found.doubts.append(_doubt("sides", length, lead))
    elif not chosen.get("length"):
        _question_stated(found, kinds, mass or likely, side_places)
    found.mass = mass or likely
    if bare_mass:
        found.doubts.append(_doubt("weights", found.mass, 0))
    return found


def _carried(table: Table, roles: Roles, found: ListUnits) -> tuple[str, bool]:
    """Return the unit that most sides carry in their cells, and whether any carry none."""
    read = [sides_of(row, roles, found) or () for _, row in table.rows]
    units = [side.unit for sides in read for side in sides if isinstance(side, Amount)]
    carried = [unit for unit in units if unit]
    return max(set(carried), key=carried.count, default=""), len(carried) < len(units)


def _stated_mass(table: Table, place: int | None, chosen: Mapping[str, str]) -> str:
    """Return the unit of mass that a heading, a title or a person states."""
    if chosen.get("mass"):
        return chosen["mass"]
    unit = table.columns[place].unit if place is not None else None
    if unit in G_PER and unit:
        return unit
    named = {one for one in table.named_units if one in G_PER}
    if len(named) == 1:
        return named.pop()
    return _most(mass_of(cell, "kg", "either") for cell in _cells(table, place))


def _most(amounts: Iterable[Amount | Refusal]) -> str:
    """Return the unit that at least half of the amounts carry."""
    units = [one.unit for one in amounts if isinstance(one, Amount)]
    carried = [unit for unit in units if unit]
    best = max(set(carried), key=carried.count, default="")
    return best if best and carried.count(best) * 2 >= len(units) else ""


def _bare_masses(table: Table, place: int, found: ListUnits) -> bool:
    masses = (mass_of(cell, "kg", found.decimal[place]) for cell in _cells(table, place))
    return any(isinstance(one, Amount) and one.unit is None for one in masses)


def _cells(table: Table, place: int | None) -> list[Cell]:
    return [row[place] for _, row in table.rows if place < len(row)] if place is not None else []


def _kinds(table: Table, roles: Roles, found: ListUnits, mass_place: int | None) -> list[Kind]:
    """Return the different numbers without a unit, to weigh units by."""
    kinds: dict[Kind, None] = {}
    for _, row in table.rows:
        sides = sides_of(row, roles, found)
        if sides is None or not all(isinstance(s, Amount) and s.value > 0 for s in sides):
            continue
        if all(s.unit for s in sides if isinstance(s, Amount)):
            continue
        cell = row[mass_place] if mass_place is not None and mass_place < len(row) else ""
        weight = mass_of(
            cell,
            "kg",
            found.decimal.get(mass_place, "either") if mass_place is not None else "either",
        )
        value = float(weight.value) if isinstance(weight, Amount) and weight.value > 0 else None
        if isinstance(weight, Amount) and weight.unit == "lb" and value:
            value = None if table.columns[mass_place or 0].unit == "kg" else value
        a, b, c = ((float(s.value), s.unit) for s in sides if isinstance(s, Amount))
        kinds[(a, b, c, value)] = None
        if len(kinds) >= MOST_KINDS:
            break
    return list(kinds)


def _shown(table: Table, roles: Roles, found: ListUnits) -> str:
    """Return the unit that cells show: by fractions, or by the same thing stated in full."""
    by_name: dict[str, list[Sides]] = {}
    name = roles.places.get("name")
    fractions = 0
    for _, row in table.rows:
        sides = sides_of(row, roles, found)
        if sides is None:
            continue
        fractions += any(isinstance(s, Amount) and s.fraction and not s.unit for s in sides)
        if name is not None and name < len(row) and row[name] != "":
            by_name.setdefault(text_of_cell(row[name]).casefold(), []).append(sides)
    if fractions:
        return "in"
    votes: dict[str, int] = {}
    for group in by_name.values():
        unit = _same_thing(group)
        if unit:
            votes[unit] = votes.get(unit, 0) + 1
    best = max(votes, key=lambda unit: votes[unit], default="")
    return best if best and votes[best] >= 0.8 * sum(votes.values()) else ""


def _same_thing(group: list[Sides]) -> str:
    """Return the unit in which a bare line of a kind equals one that states its unit."""
    full = [one for one in group if all(isinstance(s, Amount) and s.unit for s in one)]
    bare = [one for one in group if all(isinstance(s, Amount) and not s.unit for s in one)]
    for stated in full[:3]:
        for numbers in bare[:3]:
            for unit in LENGTHS:
                pairs = zip(stated, numbers, strict=True)
                if all(
                    abs(float(millimetres(a, "mm")) / float(millimetres(b, unit)) - 1) < 0.02
                    for a, b in pairs
                    if isinstance(a, Amount) and isinstance(b, Amount) and b.value > 0
                ):
                    return unit
    return ""


def _doubt(what: str, unit: str, lead: float) -> str:
    fits = "fit best by far" if lead > SURE else "fit best"
    return (
        f"The {what} have no unit. {SPOKEN[unit].capitalize()} {fits}: confirm, or choose another."
    )


def _question_stated(found: ListUnits, kinds: list[Kind], mass: str, places: list[int]) -> None:
    """Ask about a unit in a heading that makes cases of no likely size."""
    units = {found.unit[place] for place in places}
    if len(units) != 1 or not kinds or not units <= set(LENGTHS):
        return
    unit = units.pop()
    mass = mass if mass in MASSES else "kg"
    better = max(LENGTHS, key=lambda one: likelihood(kinds, one, mass))
    if impossible(kinds, unit) and not impossible(kinds, better):
        found.unit.update(dict.fromkeys(places, better))
        found.doubts.append(
            f"The heading states {SPOKEN[unit]}, but no case is of such a size: read as "
            f"{SPOKEN[better]}. Confirm."
        )
    elif likelihood(kinds, better, mass) - likelihood(kinds, unit, mass) > 5:
        found.doubts.append(
            f"The heading states {SPOKEN[unit]}, but the sides fit {SPOKEN[better]}: confirm."
        )
