"""One line of a fleet file read into a case."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from typing import Final, get_args

from server.core.shop.case import STANCES, Case, Stance
from server.service.csv_cells import Cells, WrongCell
from server.service.records import CaseNotes, CaseState, Content, FleetCase

STATES: Final[tuple[CaseState, ...]] = get_args(CaseState)
MOST_CONTENTS: Final = 100
CONTENT: Final = re.compile(r"(?:(\d{1,6})\s*x\s+)?(\S.*)", re.ASCII)
OF_CASE: Final = {
    "name": "name",
    "department": "department",
    "home": "home",
    "mass": "mass_g",
    "turn": "turn",
    "stances": "stances",
    "lid_load": "lid_load_g",
    "rides": "rides",
    "lid_casters": "lid_casters",
    "casters": "casters",
}
OF_NOTES: Final = ("weighed_on", "return_on", "contents", "note")


def keep_absent(one: FleetCase, before: FleetCase, columns: set[str]) -> FleetCase:
    """Return the case with everything that its file has no column for as it was before."""
    old, notes = before.case, before.notes
    of_case = {
        field: getattr(old, field) for column, field in OF_CASE.items() if column not in columns
    }
    of_notes = {field: getattr(notes, field) for field in OF_NOTES if field not in columns}
    return FleetCase(
        replace(one.case, never_under=old.never_under, **of_case),
        one.owner if "owner" in columns else before.owner,
        one.state if "state" in columns else before.state,
        replace(one.notes, **of_notes),
    )


def case_of(cells: list[str], columns: Mapping[str, tuple[int, str]]) -> FleetCase:
    """Return the case of a line; WrongCell with every fault in it."""
    read = Cells(cells, columns)
    code = read.text("code", 60, required=True)
    length, width, height = (read.side(side) for side in ("length", "width", "height"))
    lid_load = read.mass("lid_load")
    name, department = read.text("name", 80), read.text("department", 40)
    home, mass = read.text("home", 40), read.mass("mass") or 0
    turn, stances = read.yes("turn", default=True), _stances(read)
    rides = read.yes("rides", default=False)
    lid_casters = read.yes("lid_casters", default=False)
    casters = read.yes("casters", default=True)
    owner, state = read.text("owner", 80), _state(read)
    notes = CaseNotes(
        _day(read, "weighed_on"), _day(read, "return_on"), _contents(read), read.text("note", 400)
    )
    if read.faults:
        raise WrongCell(read.faults)
    case = Case(
        code=code,
        length_um=length,
        width_um=width,
        height_um=height,
        name=name,
        department=department,
        home=home,
        mass_g=mass,
        turn=turn,
        stances=stances,
        lid_load_g=lid_load,
        rides=rides,
        lid_casters=lid_casters,
        casters=casters,
    )
    return FleetCase(case, owner, state, notes)


def _stances(read: Cells) -> tuple[Stance, ...]:
    text = read.cell("stances")
    words = text.lower().replace(",", " ").replace("/", " ").split()
    found = tuple(stance for stance in STANCES if stance in words)
    if len(found) != len(set(words)):
        read.wrong("stances", f"one or more of {' '.join(STANCES)}", repr(text[:40]))
    return found or ("upright",)


def _day(read: Cells, column: str) -> str:
    text = read.cell(column)
    try:
        return date.fromisoformat(text).isoformat() if text else ""
    except ValueError:
        read.wrong(column, "a day such as 2027-05-14", repr(text[:40]))
        return ""


def _contents(read: Cells) -> tuple[Content, ...]:
    """Read `20 x XLR cable; 4 x DI box`."""
    parts = [part.strip() for part in read.text("contents", 900).split(";")]
    found = [CONTENT.fullmatch(part) for part in parts if part]
    if len(found) > MOST_CONTENTS:
        read.wrong("contents", f"at most {MOST_CONTENTS} kinds of things", f"{len(found)}")
    return tuple(Content(one[2], int(one[1] or 1)) for one in found if one is not None)


def _state(read: Cells) -> CaseState:
    text = read.cell("state").lower() or "good"
    for state in STATES:
        if state == text:
            return state
    read.wrong("state", f"one of {', '.join(STATES)}", repr(text[:40]))
    return "good"
