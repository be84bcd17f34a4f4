"""What the crew does differently under a new plan: a short list, not a new plan to learn."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from server.core.shop.plan import Place, Plan

MoveKind = Literal["off", "new", "moved", "stays", "renumbered"]


@dataclass(frozen=True, slots=True)
class Move:
    """One fact: a case is off, new, moved or stays behind; or a whole row has another number."""

    kind: MoveKind
    code: str
    from_vehicle: str | None = None
    from_row: int | None = None
    to_vehicle: str | None = None
    to_row: int | None = None
    on: tuple[str, ...] = ()

    def words(self) -> str:
        """Return the move as a sentence."""
        if self.kind == "renumbered":
            return f"row {self.from_row} of {self.from_vehicle} is now row {self.to_row}"
        if self.kind == "off":
            return f"{self.code} is off, from row {self.from_row} of {self.from_vehicle}"
        if self.kind == "stays":
            return f"{self.code} stays behind"
        where = f"row {self.to_row} of {self.to_vehicle}"
        if self.on:
            where += f", on {' and '.join(self.on)}"
        if self.kind == "new":
            return f"{self.code} is new, in {where}"
        return f"{self.code} goes from row {self.from_row} of {self.from_vehicle} to {where}"


Spot = tuple[str, int, Place]


def find_moves(before: Plan, after: Plan) -> tuple[Move, ...]:
    """Return what changes for the crew; a row that only got another number is one move."""
    old, new = _spots(before), _spots(after)
    renamed = _renamed(old, new)
    moves = [
        Move("renumbered", "", vehicle, number, vehicle, renamed[vehicle, number])
        for vehicle, number in sorted(renamed)
        if renamed[vehicle, number] != number
    ]
    left = {one.code for one in after.left_out}
    for code in sorted(set(old) | set(new), key=lambda c: (new.get(c, old.get(c)) or ("",))[0:2]):
        moves += _move(code, old.get(code), new.get(code), renamed, stays=code in left)
    return tuple(moves)


def _move(
    code: str,
    was: Spot | None,
    now: Spot | None,
    renamed: dict[tuple[str, int], int],
    *,
    stays: bool,
) -> list[Move]:
    if was is None and now is not None:
        return [Move("new", code, None, None, now[0], now[1], now[2].on)]
    if was is not None and now is None:
        return [Move("stays" if stays else "off", code, was[0], was[1])]
    if was is None or now is None:
        return []
    same_row = was[0] == now[0] and renamed.get((was[0], was[1]), was[1]) == now[1]
    if same_row and set(was[2].on) == set(now[2].on):
        return []
    return [Move("moved", code, was[0], was[1], now[0], now[1], now[2].on)]


def _spots(plan: Plan) -> dict[str, Spot]:
    return {
        place.code: (one.vehicle, row.number, place)
        for one in plan.vehicles
        for row in one.rows
        for place in row.places
    }


def _renamed(old: dict[str, Spot], new: dict[str, Spot]) -> dict[tuple[str, int], int]:
    """Return for each old row the number of the row, same vehicle, that took most of its cases."""
    votes: dict[tuple[str, int], dict[int, int]] = {}
    for code, (vehicle, number, _) in old.items():
        if code in new and new[code][0] == vehicle:
            counts = votes.setdefault((vehicle, number), {})
            counts[new[code][1]] = counts.get(new[code][1], 0) + 1
    return {
        row: max(counts, key=lambda number: (counts[number], number == row[1], -number))
        for row, counts in votes.items()
    }
