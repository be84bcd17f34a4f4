"""Neighbourhoods: pieces exchanged and moved, rows moved, rows destroyed and made anew."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from random import Random

from server.core.planner.local_search.cost import Evaluation
from server.core.planner.local_search.order import aimed
from server.core.planner.local_search.pieces import Piece, Row, RowMaker
from server.core.planner.local_search.recreate import recreated
from server.core.planner.local_search.riders import RiderMoves
from server.core.planner.local_search.state import State, changed

MOST_RUINED = 5  # rows destroyed at once
TRIES = 8  # lids asked for one rider
Spot = tuple[int, int]  # vehicle, row


@dataclass
class Moves:
    """Draws one neighbour of a state; None: this draw led nowhere."""

    maker: RowMaker
    evaluation: Evaluation
    draw: Random

    def __post_init__(self) -> None:
        """Weigh the neighbourhoods."""
        self.riders = RiderMoves(self.maker, self.draw)
        task = self.maker.task
        several = len(task.vehicles) > 1
        self.widths = [room.width_um for room in task.vehicles]
        self.choices = [
            (self.ruin, 4.0),
            (self.exchange, 3.0),
            (self.relocate, 2.0),
            (self.move_row, 2.0 if any(v.axles or v.narrow for v in task.vehicles) else 0.3),
            (self.move_rider, 2.0 if any(case.rides for case in task.cases) else 0.0),
            (self.to_other_vehicle, 1.0 if several else 0.0),
        ]
        self.weights = [weight for _, weight in self.choices]

    def neighbour(self, state: State) -> State | None:
        """Return a state that differs from this one by one move."""
        (move,) = self.draw.choices([one for one, _ in self.choices], self.weights)
        new = move(state)
        if new is None:
            return None
        return changed(self.evaluation, state, {i: self._aim(i, rows) for i, rows in new.items()})

    def _aim(self, index: int, rows: list[Row]) -> list[Row]:
        """Put rows in an order whose moment is lawful, as far as moving a few of them does that."""
        if self.evaluation.rooms[index].axles is None or not rows:
            return rows
        mass, parts = sum(row.mass_g for row in rows), sum(row.parts for row in rows)
        window = self.evaluation.window(index, mass, parts)
        return rows if window is None else aimed(sorted(rows, key=lambda row: row.key), window)

    def _spot(self, state: State) -> Spot | None:
        spots = [(i, j) for i, rows in enumerate(state.rooms) for j in range(len(rows))]
        return self.draw.choice(spots) if spots else None

    def ruin(self, state: State) -> dict[int, list[Row]] | None:
        """Destroy a few rows of one vehicle, near ones or any, and make them anew."""
        spot = self._spot(state)
        if spot is None:
            return None
        index, at = spot
        rows = state.rooms[index]
        count = min(len(rows), self.draw.randint(1, MOST_RUINED))
        if self.draw.random() < 0.5:
            first = max(0, min(at, len(rows) - count))
            out = list(range(first, first + count))
        else:
            near = [j for j, row in enumerate(rows) if abs(row.lo - rows[at].lo) <= 1]
            out = sorted({at, *self.draw.sample(near, min(len(near), count - 1))})
        pieces = [piece for j in out for piece in rows[j].pieces]
        made = recreated(self.maker, pieces, self.widths[index], self.draw)
        if sum(len(row.pieces) for row in made) != len(pieces):
            return None
        kept = [row for j, row in enumerate(rows) if j not in out]
        for row in made:
            kept.insert(self.draw.randint(0, len(kept)), row)
        return {index: kept}

    def exchange(self, state: State) -> dict[int, list[Row]] | None:
        """Exchange a piece of one row with one or two pieces of another."""
        one, other = self._spot(state), self._spot(state)
        if one is None or other is None or one == other:
            return None
        rows = [state.rooms[i][j] for i, j in (one, other)]
        first = self.draw.choice(rows[0].pieces)
        count = 2 if self.draw.random() < 0.3 and len(rows[1].pieces) > 1 else 1
        seconds = self.draw.sample(rows[1].pieces, count)
        return self._with(
            state,
            {
                one: [*_without(rows[0], [first]), *seconds],
                other: [*_without(rows[1], seconds), first],
            },
        )

    def relocate(self, state: State) -> dict[int, list[Row]] | None:
        """Move a piece into another row, or into a row of its own."""
        one, other = self._spot(state), self._spot(state)
        if one is None or other is None or one == other:
            return None
        row = state.rooms[one[0]][one[1]]
        piece = self.draw.choice(row.pieces)
        if self.draw.random() < 0.15:
            return self._with(state, {one: _without(row, [piece])}, {other[0]: [piece]})
        target = state.rooms[other[0]][other[1]]
        return self._with(state, {one: _without(row, [piece]), other: [*target.pieces, piece]})

    def move_row(self, state: State) -> dict[int, list[Row]] | None:
        """Move a row, or exchange two rows, inside one vehicle."""
        spot = self._spot(state)
        if spot is None:
            return None
        index, at = spot
        rows = list(state.rooms[index])
        same = [j for j, row in enumerate(rows) if row.key == rows[at].key and j != at]
        if not same:
            return None
        to = self.draw.choice(same)
        if self.draw.random() < 0.5:
            rows[at], rows[to] = rows[to], rows[at]
        else:
            rows.insert(to, rows.pop(at))
        return {index: rows}

    def to_other_vehicle(self, state: State) -> dict[int, list[Row]] | None:
        """Move a row to another vehicle, or exchange rows of two vehicles."""
        spot = self._spot(state)
        if spot is None:
            return None
        index, at = spot
        other = self.draw.choice([i for i in range(len(state.rooms)) if i != index])
        mine, theirs = list(state.rooms[index]), list(state.rooms[other])
        out, back = [mine.pop(at)], []
        if theirs and self.draw.random() < 0.6:
            back = [theirs.pop(self.draw.randrange(len(theirs)))]
        for rows, moved, into in ((theirs, out, other), (mine, back, index)):
            pieces = [piece for row in moved for piece in row.pieces]
            if any(into not in piece.rooms for piece in pieces):
                return None
            made = recreated(self.maker, pieces, self.widths[into], self.draw)
            for row in made:
                rows.insert(self.draw.randint(0, len(rows)), row)
        return {index: mine, other: theirs}

    def move_rider(self, state: State) -> dict[int, list[Row]] | None:
        """Move a rider to another lid, to the floor, or from the floor to a lid."""
        one = self._spot(state)
        if one is None:
            return None
        row = state.rooms[one[0]][one[1]]
        source = self.draw.choice(row.pieces)
        for _ in range(TRIES):
            other = self._spot(state) or one
            target_row = state.rooms[other[0]][other[1]]
            target = self.draw.choice(target_row.pieces)
            made = None if target is source else self.riders.moved(source, target)
            if made is not None:
                break
        else:
            return None
        left, grown, alone = made
        if one == other:
            pieces = [*_without(row, [source, target]), *left, *grown]
            return self._with(state, {one: pieces}, {one[0]: alone})
        new = {
            one: [*_without(row, [source]), *left],
            other: [*_without(target_row, [target]), *grown],
        }
        return self._with(state, new, {one[0]: alone})

    def _with(
        self,
        state: State,
        new: dict[Spot, list[Piece]],
        alone: dict[int, list[Piece]] | None = None,
    ) -> dict[int, list[Row]] | None:
        """Return the rows of the vehicles concerned; None where pieces do not fit."""
        found: dict[int, list[Row | None]] = {}
        for (index, at), pieces in new.items():
            if any(index not in piece.rooms for piece in pieces):
                return None
            rows = found.setdefault(index, list(state.rooms[index]))
            rows[at] = None
            if pieces:
                made = self.maker.row(pieces, self.widths[index])
                if made is None:
                    return None
                rows[at] = made
        for index, pieces in (alone or {}).items():
            for piece in pieces:
                made = self.maker.row([piece], self.widths[index])
                if index not in piece.rooms or made is None:
                    return None
                rows = found.setdefault(index, list(state.rooms[index]))
                rows.insert(self.draw.randint(0, len(rows)), made)
        return {index: [row for row in rows if row is not None] for index, rows in found.items()}


def _without(row: Row, out: Sequence[Piece]) -> list[Piece]:
    numbers = {piece.number for piece in out}
    return [piece for piece in row.pieces if piece.number not in numbers]
