"""The cells of one line of a fleet file, read into a case."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from typing import Final, get_args

from server.core.case import STANCES, Case, Stance
from server.core.units import to_g, to_um
from server.service.records import CaseNotes, CaseState, Content, FleetCase

YES: Final = frozenset({"yes", "y", "true", "1", "x"})
NO: Final = frozenset({"no", "n", "false", "0", ""})
STATES: Final[tuple[CaseState, ...]] = get_args(CaseState)
LONGEST: Final = {
    "code": 60,
    "name": 80,
    "department": 40,
    "home": 40,
    "owner": 80,
    "note": 400,
    "contents": 900,
}
MOST_CONTENTS: Final = 100
CONTENT: Final = re.compile(r"(?:(\d{1,6})\s*x\s+)?(\S.*)", re.ASCII)
MOST: Final = 1_000_000.0


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


class WrongCell(Exception):
    """A line that is no case; each fault is (column, expected, got)."""

    def __init__(self, faults: list[tuple[str, str, str]]) -> None:
        super().__init__(str(faults))
        self.faults = faults


class Cells:
    """Reads cells by column and collects what is wrong, so that a line is told once and wholly."""

    def __init__(self, cells: list[str], columns: Mapping[str, tuple[int, str]]) -> None:
        self._cells = cells
        self._columns = columns
        self._faults: list[tuple[str, str, str]] = []

    def case(self) -> FleetCase:
        """Return the case of this line; WrongCell with every fault in it."""
        width = max(place for place, _ in self._columns.values())
        if any(cell.strip() for cell in self._cells[width + 1 :]):
            extra = f"{len(self._cells)} cells"
            self._faults.append(("line", f"at most {width + 1} cells", extra))
        code = self._text("code", required=True)
        sides = {f"{side}_um": self._length(side) for side in ("length", "width", "height")}
        lid_load = self._mass("lid_load", required=False)
        values = {
            "name": self._text("name"),
            "department": self._text("department"),
            "home": self._text("home"),
            "mass_g": self._mass("mass", required=False) or 0,
            "turn": self._yes("turn", default=True),
            "stances": self._stances(),
            "lid_load_g": lid_load,
            "rides": self._yes("rides", default=False),
            "lid_casters": self._yes("lid_casters", default=False),
            "casters": self._yes("casters", default=True),
        }
        owner, state = self._text("owner"), self._state()
        notes = CaseNotes(
            self._day("weighed_on"), self._day("return_on"), self._contents(), self._text("note")
        )
        if self._faults:
            raise WrongCell(self._faults)
        case = Case(code=code, **sides, **values)  # type: ignore[arg-type]
        return FleetCase(case, owner, state, notes)

    def _cell(self, column: str) -> str:
        place = self._columns.get(column, (len(self._cells), ""))[0]
        text = self._cells[place].strip() if place < len(self._cells) else ""
        # What `harmless` of the way out put before it.
        return text[1:] if text[:2] in {"'=", "'+", "'-", "'@"} else text

    def _text(self, column: str, *, required: bool = False) -> str:
        text = self._cell(column)
        if required and not text:
            self._faults.append((column, "a value here", "nothing"))
        elif len(text) > LONGEST[column]:
            expected = f"at most {LONGEST[column]} characters"
            self._faults.append((column, expected, f"{len(text)}"))
        elif not text.isprintable():
            self._faults.append((column, "printable text", repr(text[:40])))
        return text

    def _number(self, column: str, *, required: bool) -> float | None:
        text = self._cell(column)
        if not text:
            if required:
                self._faults.append((column, "a number above zero", "nothing"))
            return None
        # 60,5 is how half the world writes 60.5; a thousands mark is never read as one.
        plain = text.replace(",", ".") if text.count(",") == 1 and "." not in text else text
        try:
            value = float(plain) if plain.isascii() and "_" not in plain else -1.0
        except ValueError:
            value = -1.0
        if not (0 < value <= MOST or (value == 0 and not required)):
            least = "a number above zero" if required else "a number of zero or more"
            self._faults.append((column, least, repr(text[:40])))
            return None
        return value

    def _length(self, column: str) -> int:
        value = self._number(column, required=True)
        if value is None:
            return 0
        return max(1, to_um(value, self._columns[column][1], "down"))

    def _mass(self, column: str, *, required: bool) -> int | None:
        value = self._number(column, required=required)
        return None if value is None else to_g(value, self._columns[column][1])

    def _yes(self, column: str, *, default: bool) -> bool:
        text = self._cell(column).lower()
        if column not in self._columns or not text:
            return default
        if text not in YES | NO:
            self._faults.append((column, "yes or no", repr(text[:40])))
        return text in YES

    def _stances(self) -> tuple[Stance, ...]:
        words = self._cell("stances").lower().replace(",", " ").replace("/", " ").split()
        found = tuple(stance for stance in STANCES if stance in words)
        if len(found) != len(set(words)):
            expected = f"one or more of {' '.join(STANCES)}"
            self._faults.append(("stances", expected, repr(self._cell("stances")[:40])))
        return found or ("upright",)

    def _day(self, column: str) -> str:
        text = self._cell(column)
        try:
            return date.fromisoformat(text).isoformat() if text else ""
        except ValueError:
            self._faults.append((column, "a day such as 2027-05-14", repr(text[:40])))
            return ""

    def _contents(self) -> tuple[Content, ...]:
        """Read `20 x XLR cable; 4 x DI box`."""
        parts = [part.strip() for part in self._text("contents").split(";")]
        found = [CONTENT.fullmatch(part) for part in parts if part]
        if len(found) > MOST_CONTENTS:
            expected = f"at most {MOST_CONTENTS} kinds of things"
            self._faults.append(("contents", expected, f"{len(found)}"))
        return tuple(Content(one[2], int(one[1] or 1)) for one in found if one is not None)

    def _state(self) -> CaseState:
        text = self._cell("state").lower() or "good"
        for state in STATES:
            if state == text:
                return state
        self._faults.append(("state", f"one of {', '.join(STATES)}", repr(text[:40])))
        return "good"
