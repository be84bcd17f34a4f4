"""The shortest lawful plan of a small show by exhaustive search: a witness, with its length.

Every partition of the cases into rows and every order of the rows is tried, shortest first, for
the fewest vehicles; all rules of order (drops, wishes, narrow floors, axles) are checked on whole
plans. It shares no code with the planner, and its plans are judged by both judges.
"""

from __future__ import annotations

import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import permutations, product
from typing import Any

from tests.oracle.orders import RoomOrders, Row
from tests.oracle.piles import Pile, Piler

Doc = dict[str, Any]
MOST_OPTIONS = 60  # ways to set one row that are kept apart


class TooLong(Exception):
    """The exhaustive search has used up its time."""


@dataclass(frozen=True)
class Witness:
    """Rows of each vehicle, in half inches, and the plan document that they make."""

    length: int
    rows: tuple[tuple[str, tuple[Row, ...]], ...]


class RoomSearch:
    """The shortest rows of any subset of the cases in one vehicle."""

    def __init__(self, show: Doc, room: Doc, end: float) -> None:
        self.show, self.room, self.end = show, room, end
        self.cases = show["cases"]
        self.piler = Piler(show, room)
        self.orders = RoomOrders(show, room)
        self.choosy = bool(room.get("narrow")) or any(
            case.get("never_beside") for case in show["cases"]
        )
        self.plain = not room.get("axles") and not self.choosy
        self._rows: dict[int, list[Row]] = {}
        self._best: dict[int, tuple[Row, ...] | None] = {}

    def rows(self, mask: int) -> list[Row]:
        """Return the ways to set these cases in one row, the shallowest first."""
        if mask not in self._rows:
            members = [self.cases[i] for i in range(len(self.cases)) if mask >> i & 1]
            drops = [case.get("drop", 1) for case in members]
            found: dict[tuple[Any, ...], Row] = {}
            if max(drops) - min(drops) <= 1:
                for piles in self._sets(mask, self.piler.width):
                    row = Row(tuple(piles), min(drops), max(drops), tuple(members))
                    if row.depth <= self.piler.length:
                        found.setdefault(self._key(row), row)
            ranked = sorted(found.values(), key=lambda row: row.depth)
            self._rows[mask] = ranked[: 1 if self.plain else MOST_OPTIONS]
        return self._rows[mask]

    def _key(self, row: Row) -> tuple[Any, ...]:
        if any(case.get("never_beside") for case in self.cases):
            piles = tuple(tuple(box.case for box in pile.boxes) for pile in row.piles)
            return (row.depth, tuple(sorted(piles)), row.moment)
        if self.room.get("narrow"):
            return (row.depth, tuple(sorted(pile.floor for pile in row.piles)), row.moment)
        return (row.depth, row.moment) if self.room.get("axles") else (row.depth,)

    def _sets(self, mask: int, width: int) -> Iterator[list[Pile]]:
        if not mask:
            yield []
            return
        if time.perf_counter() > self.end:
            raise TooLong
        first = mask & -mask
        rest = part = mask ^ first
        while True:
            for pile in self.piler.piles(first | part):
                if pile.width <= width:
                    for more in self._sets(rest ^ part, width - pile.width):
                        yield [pile, *more]
            if not part:
                return
            part = (part - 1) & rest

    def shortest(self, mask: int) -> tuple[Row, ...] | None:
        """Return the shortest rows of these cases in a lawful order, or None."""
        if mask not in self._best:
            self._best[mask] = self._search(mask) if mask else ()
        return self._best[mask]

    def _search(self, mask: int) -> tuple[Row, ...] | None:
        payload = self.room.get("payload")
        members = [case for i, case in enumerate(self.cases) if mask >> i & 1]
        if payload is not None and sum(case["mass"] for case in members) > payload:
            return None
        parts = sorted(self._partitions(mask), key=lambda one: one[0])
        best: tuple[Row, ...] | None = None
        most = self.piler.length
        for least, masks in parts:
            if least > most or (best is not None and least >= most):
                break
            for rows in self._options(masks):
                if time.perf_counter() > self.end:
                    raise TooLong
                length = sum(row.depth for row in rows)
                if length > most or (best is not None and length >= most):
                    break
                ordered = self.orders.ordered(rows)
                if ordered is not None:
                    best, most = ordered, length
                    break
        return best

    def _options(self, masks: Sequence[int]) -> list[tuple[Row, ...]]:
        made = list(product(*(self.rows(mask) for mask in masks)))
        return sorted(made, key=lambda rows: sum(row.depth for row in rows))

    def _partitions(self, mask: int) -> Iterator[tuple[int, list[int]]]:
        if not mask:
            yield 0, []
            return
        first = mask & -mask
        rest = part = mask ^ first
        while True:
            rows = self.rows(first | part)
            if rows:
                for length, more in self._partitions(rest ^ part):
                    if rows[0].depth + length <= self.piler.length:
                        yield rows[0].depth + length, [first | part, *more]
            if not part:
                return
            part = (part - 1) & rest


@dataclass
class Oracle:
    """The exhaustive optimum of a show."""

    show: Doc
    seconds: float = 30.0

    @cached_property
    def rooms(self) -> list[RoomSearch]:
        """One search for each vehicle."""
        end = time.perf_counter() + self.seconds
        return [RoomSearch(self.show, room, end) for room in self.show["vehicles"]]

    def solve(self) -> Witness | None:
        """Return the shortest plan in the fewest vehicles, None where there is none.

        Raises TooLong.
        """
        whole = (1 << len(self.show["cases"])) - 1
        one = [self._witness({room: whole}) for room in self.rooms]
        found = [each for each in one if each is not None]
        if not found and len(self.rooms) > 1:
            pairs = permutations(self.rooms, 2) if len(self.rooms) > 2 else [tuple(self.rooms)]
            for first, other in pairs:
                for mask in range(1, whole):
                    if self._words_agree(mask):
                        each = self._witness({first: mask, other: whole ^ mask})
                        found += [each] if each is not None else []
        return min(found, key=lambda each: each.length) if found else None

    def _words_agree(self, mask: int) -> bool:
        sides: dict[str, set[int]] = {}
        for i, case in enumerate(self.show["cases"]):
            if case.get("with"):
                sides.setdefault(case["with"], set()).add(mask >> i & 1)
        return all(len(side) == 1 for side in sides.values())

    def _witness(self, masks: dict[RoomSearch, int]) -> Witness | None:
        rows = []
        for room, mask in masks.items():
            best = room.shortest(mask)
            if best is None:
                return None
            rows.append((room.room["id"], best))
        length = sum(row.depth for _, some in rows for row in some)
        return Witness(length, tuple(rows))

    def document(self, witness: Witness) -> Doc:
        """Return a witness as a plan document."""
        rooms = {room.room["id"]: room for room in self.rooms}
        made = [rooms[name].orders.document(rows) for name, rows in witness.rows if rows]
        return {
            "format": "rowcall-plan-1",
            "units": {"length": "in", "mass": "lb"},
            "floor_length": witness.length / 2,
            "vehicles": made,
        }
