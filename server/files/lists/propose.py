"""Propose what a list means: its columns, units and cases, and what a person must be asked."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any, Final

from server.core.base.measures import G_PER, MM_PER, plain_text
from server.files.lists.columns import Roles, roles_of
from server.files.lists.doubts import question
from server.files.lists.lines import Ask, Line, Skipped, lines_of
from server.files.lists.parts import parts_of_sheet
from server.files.lists.sections import BY_PLACE, carries_down
from server.files.lists.sheets import Sheet, sheets_of
from server.files.lists.table import Table, table_of, text_of_cell
from server.files.lists.twins import compare_twins
from server.files.lists.units import SPOKEN, ListUnits, units_of
from server.files.lists.words import SIDES, measured_inside
from server.trouble import BadInput

SAMPLES: Final = 3


@dataclass(frozen=True, slots=True)
class Choices:
    """What a person chose: nothing chosen is found out. Columns count from 1, heading 0 is none."""

    sheet: str | None = None
    heading: int | None = None
    columns: Mapping[str, int] | None = None
    units: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Proposal:
    """What a list means; nothing is saved by it."""

    sheets: tuple[tuple[str, int], ...]
    table: Table
    roles: Roles
    units: ListUnits
    lines: list[Line]
    skipped: list[Skipped]
    whole: list[Ask]

    @property
    def asks(self) -> list[Ask]:
        """Return every question: about the whole list, then line by line."""
        return [*self.whole, *(ask for line in self.lines for ask in line.asks)]

    def sample(self, place: int) -> list[str]:
        """Return a few different cells of a column."""
        found: dict[str, None] = {}
        for _, row in self.table.rows:
            if place < len(row) and row[place] != "":
                found[text_of_cell(row[place])[:60]] = None
            if len(found) == SAMPLES:
                break
        return list(found)


def propose(content: bytes, name: str = "", choices: Choices | None = None) -> Proposal:
    """Return what a file means; BadInput where it holds no list at all."""
    choices = choices or Choices()
    for unit in choices.units.values():
        if unit not in MM_PER and unit not in G_PER:
            raise BadInput("units", f"one of {', '.join([*MM_PER, *G_PER])}", unit[:20])
    sheets = sheets_of(content, name)
    read = [_read(sheet, choices) for sheet in sheets if choices.sheet in {None, sheet.name}]
    if not read:
        names = ", ".join(sheet.name for sheet in sheets)
        raise BadInput(name or "file", f"one of the sheets {names}", choices.sheet)
    best = max(read, key=lambda one: (not one.table.sheet.hidden, len(one.lines)))
    if not best.lines:
        raise BadInput(name or "file", "lines with numbers and sides of cases", "none")
    others = [one for one in read if one is not best and len(one.lines) >= 2]
    whole = [*best.whole, *(Ask(1, "", "sheet", _other(one)) for one in others)]
    counts = {one.table.sheet.name: len(one.lines) for one in read}
    named = tuple((sheet.name, counts.get(sheet.name, 0)) for sheet in sheets)
    return Proposal(named, best.table, best.roles, best.units, best.lines, best.skipped, whole)


def _other(one: Proposal) -> str:
    """Return the question about a sheet that holds cases too."""
    return (
        f"Sheet {one.table.sheet.name!r} has {len(one.lines)} lines that look like cases too: "
        "import it after this one if it is needed."
    )


def _read(sheet: Sheet, choices: Choices) -> Proposal:
    """Return what one sheet means, table by table where it holds several."""
    parts = [
        _read_part(part, heading, choices if n == 0 or like_first else Choices())
        for n, (part, heading, like_first) in enumerate(parts_of_sheet(sheet, choices.heading))
    ]
    best = max(parts, key=lambda one: len(one.lines))
    lines = sorted(
        (line for one in parts for line in one.lines), key=lambda line: (line.row, line.part)
    )
    question(lines)
    skipped = sorted((row for one in parts for row in one.skipped), key=lambda row: row.row)
    whole = [ask for one in parts for ask in one.whole]
    whole += [
        Ask(one.table.first, "", "heading", _another(one, best))
        for one in parts
        if one is not best and one.lines
    ]
    return replace(best, lines=lines, skipped=skipped, whole=list(dict.fromkeys(whole)))


def _another(one: Proposal, best: Proposal) -> str:
    """Return the question about lines under another heading."""
    differ = [
        f"{role} in {SPOKEN.get(unit, unit)}"
        for role, unit in _units_of(one).items()
        if unit != _units_of(best).get(role)
    ]
    said = f" ({', '.join(differ)})" if differ else ""
    rows = f"rows {one.lines[0].row} to {one.lines[-1].row}"
    return f"Row {one.table.first} is another heading: {rows} are read by it{said}. Confirm."


def _read_part(sheet: Sheet, heading: int | None, choices: Choices) -> Proposal:
    """Return what one table means."""
    table = table_of(sheet, heading)
    columns = choices.columns
    chosen = (
        None
        if columns is None
        else {role: place - 1 for role, place in columns.items() if place > 0}
    )
    roles = roles_of(table, chosen)
    units = units_of(table, roles, choices.units)
    lines, skipped = lines_of(table, roles, units)
    compare_twins(table, roles, lines)
    start = max(table.first, 1)
    whole = [Ask(start, "", "units", doubt) for doubt in units.doubts]
    read = [
        f"{role} in {table.columns[place].heading!r}"
        for role, place in roles.places.items()
        if role in roles.inferred
        and not table.columns[place].meanings
        and not measured_inside(table.columns[place].heading)
    ]
    if table.first and lines and len(read) > 1:
        why = f"Columns read by their cells: {', '.join(read)[:160]}. Confirm."
        whole.append(Ask(start, "", "columns", why))
    again = _repeated_block(table, roles)
    if again and lines:
        why = f"Columns from {again + 1} on repeat the headings: cases there are not read. Import "
        whole.append(Ask(start, "", "columns", f"{why}those columns as a list of their own."))
    inside = [
        table.columns[place].heading
        for role, place in roles.places.items()
        if role in {*SIDES, "sides"} and measured_inside(table.columns[place].heading)
    ]
    if inside and lines:
        why = f"{', '.join(inside)[:80]}: planning needs sides over everything. Are they?"
        whole.append(Ask(start, "", "sides", why))
    placed = [one for one in skipped if one.why == BY_PLACE]
    if placed and lines:
        words = ", ".join(dict.fromkeys(one.text for one in placed))[:120]
        why = f"Rows with one cell are read as departments: {words}. Confirm."
        whole.append(Ask(placed[0].row, "", "department", why))
    if lines and carries_down(table, roles):
        why = "Lines without a department take the one above them: confirm."
        whole.append(Ask(start, "", "department", why))
    if lines and "code" not in roles.places:
        why = "No column holds numbers of cases: choose it, or let the shop number them."
        whole.append(Ask(start, "", "columns", why))
    return Proposal((), table, roles, units, lines, skipped, whole)


def _repeated_block(table: Table, roles: Roles) -> int:
    """Return the column from which numbers and sides of cases stand a second time, 0: none."""
    looks = [plain_text(column.heading) for column in table.columns]
    used = set(roles.places.values())
    again = [
        next((n for n, look in enumerate(looks) if n not in used and look == looks[place]), 0)
        for role, place in roles.places.items()
        if role in {"code", "length", "sides"} and looks[place]
    ]
    return min(again) if len(again) >= 2 and all(again) else 0


def _units_of(proposal: Proposal) -> dict[str, str]:
    """Return the unit of every measured column."""
    roles, units = proposal.roles, proposal.units
    found: dict[str, str] = {
        str(role): units.unit[place] for role, place in roles.places.items() if place in units.unit
    }
    if "mass" in roles.places:
        found["mass"] = units.mass
    return found


def plain(proposal: Proposal) -> dict[str, Any]:
    """Return a proposal as JSON: columns, units, cases and what to ask."""
    table, roles = proposal.table, proposal.roles
    return {
        "columns": {
            str(role): {
                "column": place + 1,
                "heading": table.columns[place].heading,
                "sample": proposal.sample(place),
            }
            for role, place in sorted(roles.places.items(), key=lambda one: one[1])
        },
        "units": _units_of(proposal),
        "cases": [case_plain(line) for line in proposal.lines],
        "ask": [{"line": one.line, "code": one.code, "why": one.why} for one in proposal.asks],
    }


def case_plain(line: Line) -> dict[str, Any]:
    """Return one case as JSON; millimetres and kilograms to the thousandth, null for not known."""
    sides = {
        f"{side}_mm": None if value is None else round(float(value), 3)
        for side, value in zip(SIDES, line.sides_mm, strict=True)
    }
    mass = None if line.mass_g is None else round(float(line.mass_g) / 1000, 3)
    return {
        "code": line.code,
        **sides,
        "mass_kg": mass,
        "name": line.name,
        "department": line.department,
        "home": line.home,
    }
