"""The lines of a list as cases, each with what a person must be asked about it."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Final

from server.core.base.measures import Amount, Refusal, grams, millimetres, plain_text
from server.files.lists.cells import mass_of
from server.files.lists.columns import Roles
from server.files.lists.ditto import shape_of, shapes_of, text_at, without_ditto
from server.files.lists.fitting import LEAST_MM, MOST_MM
from server.files.lists.sections import sections_of
from server.files.lists.several import Several, count_of, several_of
from server.files.lists.sheets import Cell
from server.files.lists.table import Table, text_of_cell
from server.files.lists.units import SPOKEN, ListUnits, Sides, sides_of
from server.files.lists.words import SIDES, TOTALS, Role

MOST_KG: Final = 3_000
MOST_TEXT: Final = {"name": 80, "department": 40, "home": 40, "note": 400}
_MONTHS: Final = "jan|feb|mar|mär|apr|may|mai|jun|jul|aug|sep|oct|okt|nov|dec|dez|ene|abr|ago|dic"
_DATE: Final = re.compile(
    rf"\d{{4}}-\d{{2}}-\d{{2}}(?:T.*)?|\d{{1,2}}[-. ](?:{_MONTHS})\w*\.?(?:[-. ]\d+)?"
    rf"|(?:{_MONTHS})[-. ]\d{{2}}",
    re.IGNORECASE,
)
_STATISTIC: Final = re.compile(
    r"(?:average|avg|mean|median|max(?:imum)?|min(?:imum)?|count|durchschnitt|mittel(?:wert)?"
    r"|promedio|media|moyenne|anzahl)[.: ]*"
)


@dataclass(frozen=True, slots=True)
class Ask:
    """What a person must say about a line; `field` names the cell, empty for the whole line."""

    line: int
    code: str
    field: str
    why: str


@dataclass(slots=True)
class Line:
    """One case of the list; None where a side or the mass is not known."""

    row: int
    part: int = 0  # which of the cases that one row names
    code: str = ""
    name: str = ""
    department: str = ""
    home: str = ""
    note: str = ""
    sides_mm: list[Fraction | None] = field(default_factory=lambda: [None, None, None])
    mass_g: Fraction | None = None
    quantity: int = 1
    asks: list[Ask] = field(default_factory=list)

    def ask(self, what: str, why: str) -> None:
        """Note a question about this line."""
        self.asks.append(Ask(self.row, self.code, what, why))


@dataclass(frozen=True, slots=True)
class Skipped:
    """A row that is no case, and why."""

    row: int
    why: str
    text: str


def lines_of(table: Table, roles: Roles, units: ListUnits) -> tuple[list[Line], list[Skipped]]:
    """Return every case of a table and every row that is none."""
    lines: list[Line] = []
    skipped: list[Skipped] = []
    section = ""
    shapes = shapes_of(table, roles)
    sections = sections_of(table, roles)
    width = max((n for n, one in enumerate(table.columns, start=1) if one.heading), default=0)
    longer = sum(len(row) > width for _, row in table.rows)
    more_rarely = width > 0 and longer <= len(table.rows) / 3
    for number, row, above in without_ditto(table, roles, shapes):
        section, how = sections.get(number, (section, ""))
        why = how or _no_case(row, roles, units, shapes)
        if why:
            skipped.append(
                Skipped(number, why, " ".join(text_of_cell(c) for c in row if c != "")[:80])
            )
            continue
        line = _line(number, row, roles, units)
        if above:
            line.ask("sides", f"{above} empty: as in the line above, confirm or correct")
        line.department = line.department or section
        if number in table.sheet.hidden_rows:
            line.ask("code", "this row is hidden in the spreadsheet: is the case still yours?")
        if (number, roles.places.get("mass", -1)) in table.sheet.merged and line.mass_g:
            line.ask("mass", "weight: one cell for several rows: of each, or of all together?")
        if len(row) > width and (more_rarely or _split_number(row[width:])):
            cells = " ".join(text_of_cell(cell) for cell in row[width:] if cell != "")
            line.ask("columns", f"more cells than headings ({cells[:40]!r}): are all in place?")
        lines += split(line, shapes)
    return lines, skipped


def _no_case(row: tuple[Cell, ...], roles: Roles, units: ListUnits, shapes: Counter[str]) -> str:
    """Return why a row is no case, empty where it is one."""
    first = plain_text(next((text_of_cell(cell) for cell in row if cell != ""), ""))
    sides = sides_of(row, roles, units)
    whole = sides is not None and all(isinstance(one, Amount) for one in sides)
    bare = "code" in roles.places and not text_at(row, roles.places["code"])
    if TOTALS.match(first) and (bare or not whole):
        return "a total"
    if _STATISTIC.fullmatch(first) and bare:
        return "a sum"
    filled = {role for role, place in roles.places.items() if place < len(row) and row[place] != ""}
    told = filled & {"name", "department", "home", "mass", *SIDES, "sides"}
    if "code" in filled and (told or shape_of(text_at(row, roles.places["code"])) in shapes):
        return ""
    if whole:
        return ""
    measured = filled & {*SIDES, "sides", "mass"}
    if "code" not in roles.places or "name" in filled:
        return "" if "name" in filled and measured else "no case"
    return "a sum" if measured else "no case"


def split(line: Line, shapes: Counter[str]) -> list[Line]:
    """Return a line for every case that it names, each with what then needs a person."""
    named = several_of(line.code)
    stated = named.count or line.quantity
    mine = shape_of(line.code)
    usual = max(shapes, key=lambda one: shapes[one], default=mine)
    if len(named.codes) == 1 and not named.count:
        named = Several((line.code,))
    elif not named.sure and stated != len(named.codes) and (mine == usual or shapes[mine] > 2):
        named = Several((line.code,))  # the form of the shop's numbers
    if len(named.codes) == 1:
        line.code = named.codes[0]
        if stated != 1:
            line.ask("quantity", f"one line for {stated} cases: give each case its own number")
        return [line]
    found = [
        replace(line, part=n, code=code, quantity=1, sides_mm=list(line.sides_mm), asks=[])
        for n, code in enumerate(named.codes)
    ]
    for one in found:
        one.asks = [replace(ask, code=one.code) for ask in line.asks]
        if stated != len(found):
            count = f"the quantity says {stated}" if stated != 1 else "no quantity says so"
            one.ask("quantity", f"{line.code!r} names {len(found)} cases, {count}: are they?")
        if one.mass_g is not None:
            one.ask("mass", f"weight: of each of the {len(found)} cases, or of all together?")
    return found


def _line(number: int, row: tuple[Cell, ...], roles: Roles, units: ListUnits) -> Line:
    """Return a row as a case with its questions."""
    line = Line(number, code=text_at(row, roles.places.get("code")))
    line.note = " ".join(text for place in roles.notes if (text := text_at(row, place)))
    line.name, line.department, line.home = (
        text_at(row, roles.places.get(role)) for role in _words()
    )
    for what, most in MOST_TEXT.items():
        if len(getattr(line, what)) > most:
            line.ask(what, f"{what}: at most {most} characters, got {len(getattr(line, what))}")
    if "code" in roles.places:
        _check_code(line)
    _read_sides(line, row, roles, units)
    _read_mass(line, row, roles, units)
    line.quantity = count_of(text_at(row, roles.places.get("quantity"))) or 1
    return line


def _split_number(cells: tuple[Cell, ...]) -> bool:
    """Return whether cells beyond the heading look like digits behind a decimal comma."""
    return all(re.fullmatch(r"\d{1,3}", text_of_cell(cell)) for cell in cells if cell != "")


def _words() -> tuple[Role, Role, Role]:
    return "name", "department", "home"


def _check_code(line: Line) -> None:
    if not line.code:
        line.ask("code", "no number: give the case one")
    elif len(line.code) > 60:
        line.ask("code", f"number: at most 60 characters, got {len(line.code)}")
    elif _DATE.fullmatch(line.code):
        line.ask("code", f"number: the spreadsheet turned it into a date, {line.code[:10]}")
    elif plain_text(line.code) in {"?", "tbc", "tbd", "n/a", "-", "xx"}:
        line.ask("code", f"number: cannot read {line.code!r}")


def _read_sides(line: Line, row: tuple[Cell, ...], roles: Roles, units: ListUnits) -> None:
    """Read the three sides of a line, or ask for them."""
    sides: Sides | None = sides_of(row, roles, units)
    if sides is None:
        cell = text_at(row, roles.places.get("sides"))
        line.ask(
            "sides", f"sides: cannot read {cell[:40]!r}" if cell else "sides: empty, measure them"
        )
        return
    for n, (side, amount) in enumerate(zip(SIDES, sides, strict=True)):
        place = roles.places.get(side, roles.places.get("sides"))
        got = text_at(row, place)
        if isinstance(amount, Refusal):
            line.ask(side, _why(side, amount, got))
            continue
        value = millimetres(amount, units.unit.get(place, "mm") if place is not None else "mm")
        if LEAST_MM <= value <= MOST_MM:
            line.sides_mm[n] = value
            continue
        unit = SPOKEN[amount.unit or units.unit.get(place or 0, "mm")]
        line.ask(side, f"{side}: {got!r} in {unit} is no likely size of a case")


def _read_mass(line: Line, row: tuple[Cell, ...], roles: Roles, units: ListUnits) -> None:
    """Read the mass; empty and "?" are not known and not asked."""
    place = roles.places.get("mass")
    if place is None:
        return
    cell = row[place] if place < len(row) else ""
    mass = mass_of(cell, units.mass, units.decimal.get(place, "either"))
    got = text_at(row, place)
    if isinstance(mass, Refusal):
        if mass.reason not in {"blank", "unknown"}:
            line.ask("mass", _why("weight", mass, got))
        return
    value = grams(mass, units.mass or "kg")
    if 0 < value <= MOST_KG * 1000:
        line.mass_g = value
    else:
        line.ask("mass", f"weight: {got!r} is no likely weight of a case")


def _why(what: str, refusal: Refusal, got: str) -> str:
    """Return the question about an amount that cannot be used as it stands."""
    shown = repr(got[:40])
    return {
        "blank": f"{what}: empty, measure it",
        "unknown": f"{what}: not known ({got[:20]}), measure it",
        "typo": f"{what}: {shown} looks like {refusal.hint!r}: is it?",
        "about": f"{what}: {shown} is only about {refusal.hint!r}: measure it or confirm",
        "ambiguous": f"{what}: {shown} may be thousands or decimals: write it without the mark",
        "unreadable": f"{what}: cannot read {shown}",
    }[refusal.reason]
