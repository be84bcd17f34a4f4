"""Columns: what files, forms and the API must know of one value of a case, said once beside it.

A value is declared as `name: Annotated[str, Column("Name", "text")] = ""`. From that line come the
CSV column, the field of the show file, the field of the API with its limits, and the field of the
office's forms. Lengths are in micrometres (`_um`), masses in grams (`_g`); files name them without
that ending, in their own unit.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import MISSING, dataclass, fields
from typing import Any, Final, Literal, get_args, get_type_hints

Kind = Literal[
    "code",
    "text",
    "length",
    "mass",
    "flag",
    "stances",
    "codes",
    "choice",
    "day",
    "contents",
    "tags",
]


@dataclass(frozen=True, slots=True)
class Column:
    """One value: its label in forms, its kind, and its limits.

    `longest` counts characters of a text; `choices` are the words that a choice may have; `hint`
    stands below the field. `many`: may be changed for many cases at once. `in_csv`: has a column in
    the fleet's CSV file; `other_names`: further headings under which that column is found.
    """

    label: str
    kind: Kind
    longest: int = 80
    choices: tuple[str, ...] = ()
    hint: str = ""
    many: bool = False
    in_csv: bool = True
    other_names: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Declared:
    """A column with the attribute that holds it and what a case has where nothing is stated."""

    field: str
    column: Column
    default: Any
    required: bool

    @property
    def name(self) -> str:
        """Name in files: without the ending that tells the unit inside."""
        return self.field.removesuffix("_um").removesuffix("_g")


_KNOWN: Final[dict[type[Any], Mapping[str, Declared]]] = {}


def columns(kind: type[Any]) -> Mapping[str, Declared]:
    """Return attribute → declared column of a dataclass, in the order of its attributes."""
    if kind not in _KNOWN:
        _KNOWN[kind] = _declared(kind)
    return _KNOWN[kind]


def _declared(kind: type[Any]) -> dict[str, Declared]:
    hints = get_type_hints(kind, include_extras=True)
    found: dict[str, Declared] = {}
    for each in fields(kind):
        for extra in get_args(hints[each.name])[1:]:
            if isinstance(extra, Column):
                required = each.default is MISSING
                default = None if required else each.default
                found[each.name] = Declared(each.name, extra, default, required)
    return found
