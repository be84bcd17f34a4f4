"""Columns that say the same in another unit: `L (in)` beside `L (cm)`, `lb` beside `kg`."""

from __future__ import annotations

from fractions import Fraction
from typing import Final

from server.core.base.measures import G_PER, MM_PER, Amount, Decimal, Refusal, grams, millimetres
from server.files.lists.cells import decimal_of, length_of, mass_of
from server.files.lists.columns import Roles
from server.files.lists.fitting import LEAST_MM, MOST_MM
from server.files.lists.lines import MOST_KG, Line
from server.files.lists.table import Table
from server.files.lists.words import SIDES

# Sides rounded to whole inches or centimetres differ by this much and still agree.
ROUNDED_MM: Final = 13
ROUNDED_G: Final = 600


def compare_twins(table: Table, roles: Roles, lines: list[Line]) -> None:
    """Fill what one column leaves empty from its twin, and ask where the two differ."""
    rows = dict(table.rows)
    for n, side in enumerate(SIDES):
        twin = _twin(table, roles, side, MM_PER)
        for line in lines if twin else ():
            got = _read(rows.get(line.row, ()), twin, "length")
            if got is not None and LEAST_MM <= got <= MOST_MM:
                line.sides_mm[n] = _agreed(line, side, line.sides_mm[n], got, ROUNDED_MM)
    twin = _twin(table, roles, "mass", G_PER)
    for line in lines if twin else ():
        got = _read(rows.get(line.row, ()), twin, "mass")
        if got is not None and 0 < got <= MOST_KG * 1000:
            line.mass_g = _agreed(line, "mass", line.mass_g, got, ROUNDED_G)


_Twin = tuple[int, str, Decimal]


def _twin(table: Table, roles: Roles, role: str, units: dict[str, Fraction]) -> _Twin | None:
    """Return another column of the same meaning in another unit, with its decimal mark."""
    taken = roles.places.get(role)
    if taken is None:
        return None
    for column in table.columns:
        ranked = sorted(column.meanings.items(), key=lambda one: -one[1])
        best, sure = ranked[0] if ranked else ("", 0)
        mine = table.columns[taken].unit
        if (
            best == role
            and sure >= 8
            and column.place not in roles.places.values()
            and column.unit in units
            and column.unit != mine
        ):
            cells = [row[column.place] for _, row in table.rows if column.place < len(row)]
            return column.place, column.unit or "", decimal_of(cells, column.unit)
    return None


def _read(row: tuple[str | float, ...], twin: _Twin | None, what: str) -> Fraction | None:
    if twin is None or twin[0] >= len(row):
        return None
    place, unit, decimal = twin
    read: Amount | Refusal = (length_of if what == "length" else mass_of)(row[place], unit, decimal)
    if isinstance(read, Refusal):
        return None
    return millimetres(read, unit) if what == "length" else grams(read, unit)


def _agreed(
    line: Line, field: str, mine: Fraction | None, other: Fraction, rounded: int
) -> Fraction:
    """Return the amount that two columns state; where they differ, the first, and a question."""
    if mine is None:
        line.asks = [one for one in line.asks if one.field != field]
        return other
    if abs(mine - other) > max(Fraction(rounded), mine / 50):
        unit, per = ("kg", 1000) if field == "mass" else ("mm", 1)
        name = "weight" if field == "mass" else field
        line.ask(
            field,
            f"{name}: one column says {float(mine) / per:.0f} {unit}, "
            f"another {float(other) / per:.0f} {unit}",
        )
    return mine
