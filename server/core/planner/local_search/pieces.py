"""Stacks and rows of the local search, with what the rules ask of them summed up once."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import islice, permutations

from server.core.planner.improvement.neighbours import agree
from server.core.planner.problem.across import places_across
from server.core.planner.problem.model import Footing, Line, Stack, Standing, Task
from server.core.shop.case import Case
from server.core.shop.vehicle import Vehicle

MOST_ACROSS = 720  # orders of one row's stacks
MOST_KNOWN = 60_000  # rows kept


@dataclass(frozen=True, slots=True, eq=False)
class Option:
    """One footing of a stack: floor across, floor along, doubled moment about its front line."""

    width: int
    depth: int
    moment: int
    footing: Footing


@dataclass(frozen=True, slots=True, eq=False)
class Piece:
    """A stack as the local search moves it."""

    number: int
    stack: Stack
    options: tuple[Option, ...]
    mass_g: int
    lo: int
    hi: int
    parts: int
    bulkhead: int
    door: int
    words: frozenset[str]
    rooms: frozenset[int]
    particular: bool  # a rule between neighbours may bind

    def slimmest(self, depth: int) -> Option | None:
        """Return the narrowest option no deeper than `depth`; options go from narrow to wide."""
        return next((one for one in self.options if one.depth <= depth), None)

    @property
    def least_depth(self) -> int:
        """Return the least depth of all options."""
        return self.options[-1].depth


@dataclass(slots=True, eq=False)
class Row:
    """Pieces side by side, each in the option that makes the row shallow."""

    pieces: tuple[Piece, ...]
    options: tuple[Option, ...]
    width: int
    depth: int
    mass_g: int
    moment: int
    lo: int
    hi: int
    parts: int
    bulkhead: int
    door: int
    words: frozenset[str]
    faults: float
    key: tuple[int, int, int] = (0, 0, 0)

    @property
    def special(self) -> bool:
        """Return whether a wish names the row's place."""
        return bool(self.bulkhead or self.door or self.words)

    def line(self) -> Line:
        """Return the row as the rest of the planner knows it."""
        pairs = zip(self.pieces, self.options, strict=True)
        return Line(tuple(Standing(piece.stack, option.footing) for piece, option in pairs))


@dataclass
class RowMaker:
    """Makes pieces of stacks and rows of pieces; the same question is answered once."""

    task: Task
    cases: dict[str, Case] = field(init=False)  # as the show has them, wishes and all
    bare: dict[str, Case] = field(init=False)  # without wishes that bind rows, not stacks
    known: dict[tuple[tuple[int, ...], int], Row | None] = field(default_factory=dict)
    count: int = 0

    def __post_init__(self) -> None:
        """Look the cases up by code."""
        self.cases = {case.code: case for case in self.task.cases}
        self.bare = {
            code: replace(case, near=None, together=None) for code, case in self.cases.items()
        }
        named = {code for case in self.task.cases for code in case.never_beside}
        self.beside = named | {case.code for case in self.task.cases if case.never_beside}

    def piece(self, stack: Stack) -> Piece:
        """Return a stack as a piece."""
        self.count += 1
        cases = [self.cases[case.code] for case in stack.cases]
        options = tuple(
            Option(
                one.width,
                one.depth,
                sum(put.case.mass_g * (2 * put.y + put.way.dy) for put in one.puts),
                one,
            )
            for one in sorted(stack.footings, key=lambda one: one.width)
        )
        drops = [case.drop for case in cases]
        return Piece(
            number=self.count,
            stack=stack,
            options=options,
            mass_g=sum(case.mass_g for case in cases),
            lo=min(drops),
            hi=max(drops),
            parts=len(cases),
            bulkhead=sum(case.near == "bulkhead" for case in cases),
            door=sum(case.near == "door" for case in cases),
            words=frozenset(case.together for case in cases if case.together),
            rooms=frozenset(i for i, room in enumerate(self.task.vehicles) if stack.fits(room)),
            particular=any(case.code in self.beside for case in cases),
        )

    def row(self, pieces: Sequence[Piece], width: int) -> Row | None:
        """Return the shallowest row of these pieces within a width, or None."""
        key = tuple(sorted(piece.number for piece in pieces)), width
        if key not in self.known:
            if len(self.known) > MOST_KNOWN:
                self.known.clear()
            self.known[key] = self._row(tuple(pieces), width)
        return self.known[key]

    def _row(self, pieces: tuple[Piece, ...], width: int) -> Row | None:
        least = max(piece.least_depth for piece in pieces)
        depths = {one.depth for piece in pieces for one in piece.options}
        for depth in sorted(depth for depth in depths if depth >= least):
            options = [one for piece in pieces if (one := piece.slimmest(depth)) is not None]
            if sum(one.width for one in options) <= width:
                return self._made(pieces, tuple(options))
        return None

    def _made(self, pieces: tuple[Piece, ...], options: tuple[Option, ...]) -> Row:
        lo, hi = min(piece.lo for piece in pieces), max(piece.hi for piece in pieces)
        bulkhead, door = sum(p.bulkhead for p in pieces), sum(p.door for p in pieces)
        words = [piece.words for piece in pieces if piece.words]
        row = Row(
            pieces=pieces,
            options=options,
            width=sum(one.width for one in options),
            depth=max(one.depth for one in options),
            mass_g=sum(piece.mass_g for piece in pieces),
            moment=sum(one.moment for one in options),
            lo=lo,
            hi=hi,
            parts=sum(piece.parts for piece in pieces),
            bulkhead=bulkhead,
            door=door,
            words=frozenset().union(*words) if words else frozenset(),
            faults=float(max(0, hi - lo - 1)),
            key=(-lo, -hi, bool(door) - bool(bulkhead)),
        )
        if any(piece.particular for piece in pieces):
            order = next(self._agreeing(row), None)
            if order is None:
                row.faults += 1.0
            else:
                row.pieces, row.options = order.pieces, order.options
        return row

    def _agreeing(self, row: Row) -> Iterator[Row]:
        """Yield the row in each order in which neighbours agree, the given one first."""
        pairs = list(zip(row.pieces, row.options, strict=True))
        for order in islice(permutations(pairs), MOST_ACROSS):
            turned = replace(
                row, pieces=tuple(p for p, _ in order), options=tuple(o for _, o in order)
            )
            if agree(turned.line()):
                yield turned

    def standing_at(self, room: Vehicle, row: Row, start: int) -> Row | None:
        """Return the row as it stands clear of narrow stretches from `start` on, or None.

        A row too wide there is made slimmer and deeper, if its stacks can be turned.
        """
        depths = sorted({one.depth for piece in row.pieces for one in piece.options})
        for depth in depths:
            if depth < row.depth:
                continue
            options = [one for piece in row.pieces if (one := piece.slimmest(depth)) is not None]
            if len(options) < len(row.pieces):
                continue
            deeper = row if depth == row.depth else self._made(row.pieces, tuple(options))
            found = self._settled(room, deeper, start)
            if found is not None:
                return found
        return None

    def _settled(self, room: Vehicle, row: Row, start: int) -> Row | None:
        particular = any(piece.particular for piece in row.pieces) and not row.faults
        pairs = list(zip(row.pieces, row.options, strict=True))
        for order in islice(permutations(pairs), MOST_ACROSS):
            floors = [(one.width, one.depth) for _, one in order]
            if places_across(room, start, floors) is None:
                continue
            turned = replace(
                row, pieces=tuple(p for p, _ in order), options=tuple(o for _, o in order)
            )
            if not particular or agree(turned.line()):
                return turned
        return None
