"""Which column holds what: by its heading and by what its cells look like, whichever is surer."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Final

from server.files.lists.features import Features, features_of
from server.files.lists.fitting import best_sides
from server.files.lists.table import Column, Table
from server.files.lists.words import SIDES, Role, placed_depth

ENOUGH: Final = 5.0
ONE_EACH: Final[tuple[Role, ...]] = (
    "code", "name", "department", "home", "length", "width", "height", "depth", "sides", "mass",
    "quantity",
)  # fmt: skip


@dataclass(slots=True)
class Roles:
    """Column of each role; `inferred` holds the roles that no heading states."""

    places: dict[str, int] = field(default_factory=dict)
    order: tuple[str, ...] = SIDES
    notes: tuple[int, ...] = ()
    inferred: set[str] = field(default_factory=set)

    def sides(self) -> list[int]:
        """Return the columns of the single sides that there are."""
        return [self.places[side] for side in SIDES if side in self.places]


def roles_of(table: Table, chosen: Mapping[str, int] | None = None) -> Roles:
    """Return which column holds what; `chosen` is what a person said, and is not questioned."""
    looks = [features_of(table, column.place) for column in table.columns]
    found = Roles()
    if chosen is not None:
        found.places = {role: place for role, place in chosen.items() if place < len(looks)}
    else:
        _by_heading(table.columns, looks, found)
    _depth(found)
    if chosen is None:
        _by_content(table, looks, found)
    if "sides" in found.places:
        column = table.columns[found.places["sides"]]
        found.order = column.order or SIDES
    taken = set(found.places.values())
    found.notes = tuple(
        column.place
        for column in table.columns
        if column.place not in taken
        and max(column.meanings, key=lambda r: column.meanings[r], default="") == "note"
    )
    return found


def _by_heading(columns: tuple[Column, ...], looks: list[Features], found: Roles) -> None:
    """Give every role the column whose heading and cells fit it best."""
    offers = sorted(
        (
            (sure + _fits(role, looks[column.place]), -column.place, role)
            for column in columns
            for role, sure in column.meanings.items()
        ),
        reverse=True,
    )
    taken: set[int] = set()
    for score, negative, role in offers:
        place = -negative
        if score < ENOUGH or place in taken or role in found.places:
            continue
        if role == "sides" and looks[place].sides < 0.3 and looks[place].filled > 0.1:
            continue
        taken.add(place)
        if role in ONE_EACH:
            found.places[role] = place


def _fits(role: Role, look: Features) -> float:
    """Return how far the cells speak for a role (to 4) or against it (to -12)."""
    if look.filled == 0:
        return -1.0
    if role in {"length", "width", "height", "depth"}:
        return 6 * look.length - 4 - 8 * look.mass_unit - 6 * look.sides
    if role == "sides":
        return 10 * look.sides - 6
    if role == "mass":
        return 6 * look.mass - 4 + 3 * look.mass_unit - 8 * max(look.length_unit, look.sides)
    if role == "code":
        return (
            4 * look.code
            + 6 * look.distinct
            - 6
            - 12 * max(look.sides, look.mass_unit, look.length_unit)
        )
    if role == "name":
        return 6 * look.wordy - 3 - 6 * look.sides - 2 * look.place - (2 if look.code > 0.8 else 0)
    if role in {"department", "home"}:
        wanted = look.department if role == "department" else look.place
        other = look.place if role == "department" else look.department
        return 2 * wanted - 2 * other - 8 * max(look.sides, look.mass_unit, look.length_unit)
    if role == "quantity":
        return 6 * look.whole - 5
    return 0.0


def _depth(found: Roles) -> None:
    """Give the depth the side that is not named."""
    place = found.places.pop("depth", None)
    if place is None:
        return
    named = tuple(side for side in SIDES if side in found.places)
    side = placed_depth((*named, "depth"))[-1]
    if side not in found.places:
        found.places[side] = place


def _by_content(table: Table, looks: list[Features], found: Roles) -> None:
    """Find what no heading names in the columns that are left."""
    said = {
        column.place
        for column in table.columns
        if any(
            role in {"note", "other", "quantity"} and sure >= 8
            for role, sure in column.meanings.items()
        )
    }

    def free() -> list[int]:
        taken = {*found.places.values(), *said}
        return [
            place for place, look in enumerate(looks) if place not in taken and look.filled > 0.02
        ]

    def give(role: Role, place: int | None) -> None:
        if place is not None:
            found.places[role] = place
            found.inferred.add(role)

    if "sides" not in found.places and len(found.sides()) < 3:
        give(
            "sides",
            max(
                (p for p in free() if looks[p].sides > 0.6),
                key=lambda p: looks[p].sides,
                default=None,
            ),
        )
    if "code" not in found.places:
        give("code", _code(free(), looks))
    if "sides" not in found.places and len(found.sides()) < 3:
        _single_sides(table, looks, found, free())
    if "mass" not in found.places:
        give("mass", _mass(free(), looks))
    rest = [place for place in free() if looks[place].wordy > 0.6]
    if not table.first or any(not table.columns[place].meanings for place in rest):
        _words(
            rest if not table.first else [p for p in rest if not table.columns[p].meanings],
            looks,
            found,
            give,
        )


def _code(free: list[int], looks: list[Features]) -> int | None:
    """Return the column that looks like numbers of cases: filled, no two alike."""
    fits = [
        (
            looks[p].code + 3 * looks[p].distinct - looks[p].place - 0.2 * looks[p].whole
            + (p == free[0]),
            -p,
        )
        for p in free
        if looks[p].code > 0.7 and looks[p].distinct > 0.85 and looks[p].filled > 0.7
        and looks[p].kinds > 1 and looks[p].sides < 0.3 and looks[p].mass_unit < 0.3
        and looks[p].length_unit < 0.3
    ]  # fmt: skip
    return -max(fits)[1] if fits else None


def _mass(free: list[int], looks: list[Features]) -> int | None:
    fits = [
        (looks[p].mass_unit, looks[p].number, -p)
        for p in free
        if looks[p].mass > 0.7 and looks[p].number > 0.4
    ]
    return -max(fits)[2] if fits else None


def _single_sides(table: Table, looks: list[Features], found: Roles, free: list[int]) -> None:
    """Find three columns of sides: those named, and the numbers that fit them best."""
    missing = [side for side in SIDES if side not in found.places]
    numbers = [p for p in free if looks[p].length > 0.6 and looks[p].mass_unit < 0.5]
    if len(missing) < 3:
        unnamed = [p for p in numbers if not table.columns[p].meanings]
        for side, place in zip(missing, unnamed, strict=False):
            if len(unnamed) >= len(missing):
                found.places[side] = place
                found.inferred.add(side)
        return
    runs = [
        run for run in zip(numbers, numbers[1:], numbers[2:], strict=False) if _close(run, numbers)
    ]
    masses = (
        [found.places["mass"]]
        if "mass" in found.places
        else [p for p in free if looks[p].mass > 0.6]
    )
    stated = [run for run in runs if all(looks[p].length_unit > 0.5 for p in run)]
    best = (stated[0], None) if stated else best_sides(table, runs, masses)
    if best is None:
        return
    run, mass = best
    for side, place in zip(SIDES, run, strict=True):
        found.places[side] = place
        found.inferred.add(side)
    if mass is not None and "mass" not in found.places:
        found.places["mass"] = mass
        found.inferred.add("mass")


def _close(run: tuple[int, int, int], numbers: list[int]) -> bool:
    """Return whether three columns stand side by side."""
    return all(b - a == 1 for a, b in pairwise(run)) or len(numbers) == 3


def _words(rest: list[int], looks: list[Features], found: Roles, give: object) -> None:
    """Tell name, department and home apart by their words."""
    assert callable(give)
    left = list(rest)

    def take(role: Role, place: int | None) -> None:
        if place is not None:
            left.remove(place)
            give(role, place)

    if "home" not in found.places:
        take(
            "home",
            max(
                (p for p in left if looks[p].place > 0.5),
                key=lambda p: looks[p].place,
                default=None,
            ),
        )
    if "department" not in found.places:
        fits = [p for p in left if looks[p].department > 0.5 and looks[p].kinds <= 30]
        take(
            "department",
            max(fits, key=lambda p: (looks[p].department, -looks[p].kinds), default=None),
        )
    if "name" not in found.places:
        fits = [p for p in left if looks[p].filled > 0.6]
        take("name", max(fits, key=lambda p: (looks[p].filled > 0.9, looks[p].kinds), default=None))
