"""Where a sheet's heading stands, and what its columns are called."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from typing import Final

from server.core.base.measures import Amount, plain_text, read_length, read_mass
from server.files.lists.sheets import Cell, Sheet
from server.files.lists.sides import parts_of
from server.files.lists.words import Role, meanings, order_of, unit_of

LOOKED_AT: Final = 60
CONTRAST: Final = 12  # rows at the top where a heading of unknown words may stand
SIDE_ROLES: Final = frozenset({"length", "width", "height", "depth", "sides"})
# Units in words in the lines about a table: "All sizes in inches, weights in lbs".
_UNIT_NAMED: Final = re.compile(
    r"\b(inches|inch|zoll|pulgadas|pouces|centimetres|centimeters|centimetros|zentimeter|cm|mm"
    r"|millimetres|millimeters|milimetros|millimeter|lbs|lb|pounds|libras|kg|kgs|kilos|kilograms)\b"
)

_RULE: Final = re.compile(r"[-=_+|:~*]{3,}")


@dataclass(frozen=True, slots=True)
class Column:
    """One column: its place from 0, its heading, the unit and meanings that the heading states."""

    place: int
    heading: str
    unit: str | None
    meanings: dict[Role, int]
    order: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Table:
    """A sheet taken apart; `first` is the row of the heading, 0 where there is none."""

    sheet: Sheet
    first: int
    last: int
    columns: tuple[Column, ...]
    rows: tuple[tuple[int, tuple[Cell, ...]], ...]
    named_units: frozenset[str]


def table_of(sheet: Sheet, heading: int | None = None) -> Table:
    """Return a sheet as a table; `heading` is the row that a person chose, 0 for none."""
    first, last = span(sheet, heading)
    width = max((len(row) for row in sheet.rows), default=0)
    texts = _headings(sheet.rows, first, last, width)
    columns = _french(
        [
            Column(place, text, unit_of(text), meanings(text) if text else {}, order_of(text))
            for place, text in enumerate(texts)
        ]
    )
    before = sheet.rows[: first - 1] if first else [one for one in sheet.rows[:10] if _alone(one)]
    after = [one for one in sheet.rows[-3:] if _alone(one)]
    named = [plain_text(text_of_cell(cell)) for row in (*before, *after) for cell in row]
    units = frozenset(
        unit for text in named for word in _UNIT_NAMED.findall(text) if (unit := unit_of(word))
    )
    body = enumerate(sheet.rows[last:], start=last + 1)
    looks = [plain_text(text) for text in texts]
    rows = tuple(
        (line, row)
        for line, row in body
        if any(cell != "" for cell in row) and not _again(row, looks) and not _ruled(row)
    )
    return Table(sheet, first, last, columns, rows, units)


def _french(columns: list[Column]) -> tuple[Column, ...]:
    """Return the columns with a small l as the width where another one is the length: L, l, H."""
    bare = [re.sub(r"[(\[].*|\b(?:cm|mm|in|m)\b", "", one.heading).strip(" .") for one in columns]
    long = [n for n, one in enumerate(columns) if "length" in one.meanings and bare[n] != "l"]
    return tuple(
        replace(one, meanings={"width": 8}) if long and bare[n] == "l" else one
        for n, one in enumerate(columns)
    )


def text_of_cell(cell: Cell) -> str:
    """Return a cell as the text that a person sees."""
    if isinstance(cell, str):
        return cell
    return str(int(cell)) if cell.is_integer() else repr(round(cell, 6))


def _alone(row: tuple[Cell, ...]) -> bool:
    return bool(row) and row[0] != "" and not any(cell != "" for cell in row[1:])


def span(sheet: Sheet, heading: int | None) -> tuple[int, int]:
    """Return the first and last row of the heading, (0, 0) where there is none."""
    best, score = 0, 0.0
    if heading is not None:
        best = heading if 0 < heading <= len(sheet.rows) else 0
    for number, row in enumerate(sheet.rows[:LOOKED_AT] if heading is None else (), start=1):
        one = heading_score(row)
        if one > score:
            best, score = number, one
    if not best and heading is None:
        best = _by_contrast(sheet.rows)
    if not best:
        return 0, 0
    last = best
    while last < min(best + 2, len(sheet.rows)) and _continues(
        sheet.rows[best - 1], sheet.rows[last]
    ):
        last += 1
    return best, last


def _by_contrast(rows: tuple[tuple[Cell, ...], ...]) -> int:
    """Return the row of words nobody knows over columns of measures, 0 where there is none."""
    for number, row in enumerate(rows[:CONTRAST], start=1):
        words = [place for place, cell in enumerate(row) if cell != ""]
        texts = [row[place] for place in words]
        if len(words) < 3 or not all(isinstance(one, str) and len(one) <= 40 for one in texts):
            continue
        if any(any(sign.isdigit() for sign in text_of_cell(one)) for one in texts):
            continue
        below = [one for one in rows[number : number + CONTRAST] if len(one) > 2]
        measured = [
            place
            for place in words
            if below and sum(_measured(one, place) for one in below) >= 0.7 * len(below)
        ]
        if len(measured) >= 2:
            return number
    return 0


def _measured(row: tuple[Cell, ...], place: int) -> bool:
    return place < len(row) and (isinstance(row[place], float) or _is_measure(str(row[place])))


def heading_score(row: tuple[Cell, ...]) -> float:
    """Return how many different columns a row names; 0 where it is no heading."""
    cells = [cell for cell in row if cell != ""]
    if len(cells) < 2 or any(isinstance(cell, float) for cell in cells):
        return 0
    texts = [text_of_cell(cell) for cell in cells]
    measures = sum(_is_measure(text) for text in texts)
    if measures > len(texts) / 8 or max(map(len, texts)) > 60:
        return 0
    roles: dict[Role, float] = {}
    for text in texts:
        said = {role: sure for role, sure in meanings(text).items() if sure >= 7}
        if said and not any(sign.isdigit() for sign in text):
            role = max(said, key=lambda one: said[one])
            roles[role] = max(roles.get(role, 0), said[role] / 10)
    found = sum(roles.values())
    return found if len(roles) >= 2 and found >= len(texts) * 0.35 else 0


def _is_measure(text: str) -> bool:
    """Return whether a cell holds an amount or sides."""
    if not any(sign.isdigit() for sign in text):
        return False
    return (
        isinstance(read_length(text, "cm"), Amount)
        or isinstance(read_mass(text, "kg"), Amount)
        or parts_of(text) is not None
    )


def _continues(heading: tuple[Cell, ...], row: tuple[Cell, ...]) -> bool:
    """Return whether a row below a heading belongs to it: units, or the sides below their group."""
    texts = [text_of_cell(cell) for cell in row if cell != ""]
    if not texts:
        return False
    if all(_only_unit(text) for text in texts):
        return True
    named = [set(meanings(text)) & SIDE_ROLES for text in texts]
    over = [text_of_cell(cell) for cell in heading if cell != ""]
    group = any({"sides"} & set(meanings(text)) for text in over)
    return group and all(named) and len(texts) >= 2


def _only_unit(text: str) -> bool:
    bare = plain_text(text).strip("()[]{}. ")
    return bare in {"in", "m", '"', "#", "ft", "'"} or (
        unit_of(bare) is not None and " " not in bare
    )


def _headings(rows: tuple[tuple[Cell, ...], ...], first: int, last: int, width: int) -> list[str]:
    """Return one heading a column, out of one or several rows; a group is said for its sides."""
    if not first:
        return [""] * width
    texts = [""] * width
    above = first - 1 if first > 1 and _groups(rows[first - 2], rows[first - 1]) else first
    for row in rows[above - 1 : last]:
        carried = ""
        for place in range(width):
            cell = text_of_cell(row[place]) if place < len(row) else ""
            if cell:
                carried = cell if {"sides"} & set(meanings(cell)) else ""
            said = cell or (carried if place and _side_below(rows, row, last, place) else "")
            texts[place] = f"{texts[place]} {said}".strip()
    return [_without_group(text) for text in texts]


def _groups(above: tuple[Cell, ...], heading: tuple[Cell, ...]) -> bool:
    """Return whether the row above a heading groups its columns: `Dimensions` over L, W, H."""
    for place, cell in enumerate(above):
        below = text_of_cell(heading[place]) if place < len(heading) else ""
        said = set(meanings(text_of_cell(cell))) if cell != "" else set()
        if "sides" in said and set(meanings(below)) & SIDE_ROLES:
            return True
        if place and "mass" in said and (below == "" or _only_unit(below)):
            return True
    return False


def _side_below(
    rows: tuple[tuple[Cell, ...], ...], row: tuple[Cell, ...], last: int, place: int
) -> bool:
    """Return whether the last row of the heading names a side in this column."""
    below = rows[last - 1]
    if row is below:
        return False
    text = text_of_cell(below[place]) if place < len(below) else ""
    return bool(set(meanings(text)) & SIDE_ROLES) or bool(text and _only_unit(text))


def _without_group(text: str) -> str:
    """Return a heading without its group where a side follows: `Dims (cm) L` is L (cm)."""
    said = meanings(text)
    sides = [role for role in ("length", "width", "height", "depth") if role in said]
    if "sides" not in said or order_of(text) or len(sides) != 1:
        for letter in re.findall(r"(?:^| )([LWHDBTlwhdbt])$", text):
            if "sides" in said and not order_of(text):
                unit = unit_of(text)
                return f"{letter} ({unit})" if unit else letter
        return text
    unit = unit_of(text)
    word = {"length": "length", "width": "width", "height": "height", "depth": "depth"}[sides[0]]
    return f"{word} ({unit})" if unit else word


def _ruled(row: tuple[Cell, ...]) -> bool:
    """Return whether a row only draws a line: `----+-----`."""
    cells = [cell for cell in row if cell != ""]
    return sum(isinstance(one, str) and _RULE.fullmatch(one) is not None for one in cells) == len(
        cells
    )


def is_unit_row(row: tuple[Cell, ...]) -> bool:
    """Return whether a row holds nothing but units, two at least."""
    texts = [text_of_cell(cell) for cell in row if cell != ""]
    return len(texts) >= 2 and all(_only_unit(text) for text in texts)


def is_heading_again(row: tuple[Cell, ...], heading: tuple[Cell, ...]) -> bool:
    """Return whether a row is a heading once more, each word in its place."""
    return _again(row, [plain_text(text_of_cell(cell)) for cell in heading])


def _again(row: tuple[Cell, ...], looks: list[str]) -> bool:
    """Return whether a row is the heading once more, as on every printed page."""
    same = [
        n < len(looks) and plain_text(text_of_cell(c)) == looks[n]
        for n, c in enumerate(row)
        if c != ""
    ]
    return len(same) >= 2 and sum(same) >= 0.7 * len(same)
