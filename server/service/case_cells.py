"""One line of a fleet file read into a case, and back, by the columns that a case declares."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import date
from typing import Any, Final

from server.core.base.units import Units
from server.core.shop.case import Case
from server.core.shop.columns import Declared, columns
from server.core.shop.tags import MOST_TAGS
from server.service.csv_cells import Cells, WrongCell
from server.service.csv_table import harmless, length_cell, mass_cell, yes_cell
from server.service.records import CaseNotes, Content, FleetCase

MOST_CONTENTS: Final = 100
MOST_CODES: Final = 100
CONTENT: Final = re.compile(r"(?:(\d{1,6})\s*x\s+)?(\S.*)", re.ASCII)

FIRST: Final = ("code", "text")  # what people look for first stands first in a line
OF_CASE: Final = {
    one.name: one
    for one in sorted(columns(Case).values(), key=lambda one: one.column.kind not in FIRST)
    if one.column.in_csv
}
OF_FLEET: Final = {one.name: one for one in columns(FleetCase).values()}
OF_NOTES: Final = {one.name: one for one in columns(CaseNotes).values()}
ALL: Final = {**OF_CASE, **OF_FLEET, **OF_NOTES}


def keep_absent(case: FleetCase, before: FleetCase, there: set[str]) -> FleetCase:
    """Return the case with everything that its file has no column for as it was before."""

    def kept(part: Mapping[str, Declared], old: object) -> dict[str, Any]:
        absent = (one.field for name, one in part.items() if name not in there)
        return {field: getattr(old, field) for field in absent}

    old = before.case
    return replace(
        case,
        case=replace(case.case, never_under=old.never_under, **kept(OF_CASE, old)),
        notes=replace(case.notes, **kept(OF_NOTES, before.notes)),
        **kept(OF_FLEET, before),
    )


def case_of(cells: list[str], there: Mapping[str, tuple[int, str]]) -> FleetCase:
    """Return the case of a line; WrongCell with every fault in it."""
    read = Cells(cells, there)

    def values(part: Mapping[str, Declared]) -> dict[str, Any]:
        return {one.field: READERS[one.column.kind](read, one) for one in part.values()}

    of_case, of_fleet, of_notes = values(OF_CASE), values(OF_FLEET), values(OF_NOTES)
    if read.faults:
        raise WrongCell(read.faults)
    return FleetCase(Case(**of_case), notes=CaseNotes(**of_notes), **of_fleet)


def cells_of(case: FleetCase, units: Units) -> list[str]:
    """Return the line of a case."""
    parts = ((OF_CASE, case.case), (OF_FLEET, case), (OF_NOTES, case.notes))
    return [
        _cell(getattr(holder, one.field), one, units)
        for part, holder in parts
        for one in part.values()
    ]


def _cell(value: Any, one: Declared, units: Units) -> str:
    kind = one.column.kind
    if kind == "length":
        return length_cell(value, units.length)
    if kind == "mass":
        return mass_cell(value, units.mass)
    if kind == "flag":
        return yes_cell(value)
    if kind in ("stances", "codes"):
        return harmless(" ".join(value))
    if kind == "tags":
        return harmless("; ".join(value))
    return harmless(contents_text(value) if kind == "contents" else value)


def contents_text(contents: tuple[Content, ...]) -> str:
    """Return what lies in a case in one cell: `20 x XLR cable; 4 x DI box`."""
    return "; ".join(f"{each.count} x {each.what}" for each in contents)


def _text(read: Cells, one: Declared) -> str:
    return read.text(one.name, one.column.longest, required=one.required)


def _mass(read: Cells, one: Declared) -> int | None:
    value = read.mass(one.name)
    return one.default if value is None else value


def _words(read: Cells, one: Declared) -> tuple[str, ...]:
    text = read.cell(one.name)
    words = text.lower().replace(",", " ").replace("/", " ").split()
    found = tuple(word for word in one.column.choices if word in words)
    if len(found) != len(set(words)):
        read.wrong(one.name, f"one or more of {' '.join(one.column.choices)}", repr(text[:40]))
    return found or tuple(one.default)


def _codes(read: Cells, one: Declared) -> tuple[str, ...]:
    """Read codes with blanks, commas or semicolons between them, each once."""
    text = read.text(one.name, MOST_CODES * one.column.longest)
    codes = tuple(dict.fromkeys(text.replace(",", " ").replace(";", " ").split()))
    if len(codes) > MOST_CODES:
        read.wrong(one.name, f"at most {MOST_CODES} codes", f"{len(codes)}")
    return codes


def _choice(read: Cells, one: Declared) -> str:
    word = read.cell(one.name).lower() or str(one.default)
    if word in one.column.choices:
        return word
    read.wrong(one.name, f"one of {', '.join(one.column.choices)}", repr(word[:40]))
    return str(one.default)


def _day(read: Cells, one: Declared) -> str:
    text = read.cell(one.name)
    try:
        return date.fromisoformat(text).isoformat() if text else ""
    except ValueError:
        read.wrong(one.name, "a day such as 2027-05-14", repr(text[:40]))
        return ""


def _contents(read: Cells, one: Declared) -> tuple[Content, ...]:
    """Read `20 x XLR cable; 4 x DI box`."""
    parts = [part.strip() for part in _text(read, one).split(";")]
    found = [CONTENT.fullmatch(part) for part in parts if part]
    if len(found) > MOST_CONTENTS:
        read.wrong(one.name, f"at most {MOST_CONTENTS} kinds of things", f"{len(found)}")
    return tuple(Content(each[2], int(each[1] or 1)) for each in found if each is not None)


def _tags(read: Cells, one: Declared) -> tuple[str, ...]:
    """Read texts with semicolons between them, each once."""
    text = read.text(one.name, MOST_TAGS * (one.column.longest + 2))
    tags = tuple(dict.fromkeys(filter(None, (part.strip() for part in text.split(";")))))
    if len(tags) > MOST_TAGS or any(len(tag) > one.column.longest for tag in tags):
        expected = f"at most {MOST_TAGS} tags of {one.column.longest} characters"
        read.wrong(one.name, expected, repr(text[:80]))
    return tags


READERS: Final[dict[str, Callable[[Cells, Declared], Any]]] = {
    "code": _text,
    "text": _text,
    "length": lambda read, one: read.side(one.name),
    "mass": _mass,
    "flag": lambda read, one: read.yes(one.name, default=one.default),
    "stances": _words,
    "codes": _codes,
    "choice": _choice,
    "day": _day,
    "contents": _contents,
    "tags": _tags,
}
